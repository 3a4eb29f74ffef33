//! Sixteen words drawn side by side, for machines with wide registers; a microcontroller draws them one by one.

/// Words of one group: four registers of 128 bits for their charges, four for themselves.
pub(super) const LANES: usize = 16;
/// A group costs about as much as so many words one by one.
const PAYS: usize = 4;

/// Words of a density that is neither none nor full, from a charge on, 32 ticks each: as many as groups take; gives the charge after them and
/// the words left.
///
/// *Cost*: about a sixth of a cycle a tick with registers of 128 bits, where one by one it is one and a half.
#[inline(never)]
pub(super) fn fill(mut charge: u32, density: u32, words: &mut [u32]) -> (u32, &mut [u32]) {
    let a_word = density << 5;
    let (groups, rest) = words.as_chunks_mut::<LANES>();
    for group in groups {
        *group = draw(charge, density);
        charge = charge.wrapping_add(a_word.wrapping_mul(LANES as u32));
    }
    if rest.len() < PAYS {
        return (charge, rest);
    }
    for (word, drawn) in rest.iter_mut().zip(draw(charge, density)) {
        *word = drawn;
    }
    let drawn = rest.len() as u32;
    (charge.wrapping_add(a_word.wrapping_mul(drawn)), &mut [])
}

/// Each word begins where the one before has left the charge. Signed numbers, since wide registers compare only these.
#[inline(always)]
fn draw(charge: u32, density: u32) -> [u32; LANES] {
    let signed = |bits: u32| (bits ^ 1 << 31).cast_signed();
    let begin = |lane: usize| signed(charge.wrapping_add((density << 5).wrapping_mul(lane as u32)));
    let mut charges: [i32; LANES] = core::array::from_fn(begin);
    let mut words = [0_u32; LANES];
    for _ in 0..32 {
        for (charge, word) in charges.iter_mut().zip(&mut words) {
            *charge = charge.wrapping_add(density.cast_signed());
            *word = *word << 1 | u32::from(*charge < signed(density));
        }
    }
    words
}
