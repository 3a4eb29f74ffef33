//! The fast profile of the first order, for densities that stand for a while.

mod copies;
mod copy;
mod descent;
mod prepare;
mod pulses;
mod returns;
mod scatter;

use super::{Decision, Density, FirstOrder, Stretch};
use returns::Returns;

/// What a first-order channel keeps so that a buffer at a density that stands costs a fraction: the *fast* profile, where
/// a [`FirstOrder`] alone is the *small* one. **The stream is the same, bit for bit**, whatever changes when.
///
/// *How*: where ones (or zeros) are rarer than 1 in 128, words are flooded and each one is put in: the gaps between them are two, and one
/// comparison tells which comes next. Elsewhere the words of a good approximation's period ago are copied, and two decisions are changed now and
/// then, at gaps that are two as well. Both need to be prepared once a density stands: at once in buffers of 8 and 96 words, else in
/// the next one. Until then, and where it would not pay, the [`FirstOrder`] draws.
///
/// *State*: 48 bytes a channel, beside the 8 of its [`FirstOrder`]; and copies read the previous buffer, which a double buffer has.
/// *Cost*: on a Cortex-M0, in buffers of 128, 64 and 32 words, 0.14, 0.18 and 0.27 cycles a tick up to 2^-12, at
/// most 0.5, 0.7 and 1.0 at nineteen densities between, about 2.9 for a density that has just changed; a preparation takes up
/// to 800 cycles for pulses and 2700 for copies, paid back after 10 and 40 words. It divides, up to 6 times. See the ledger in `tests/m0`. *Interrupts*: the owner may be one.
///
/// ```
/// use milliglow::density::{Density, FirstOrder, Held};
/// let (mut modulator, mut held) = (FirstOrder::new(0), Held::new());
/// let mut halves = [[0_u32; 32]; 2]; // while one is being sent, the other is filled
/// for half in 0..10 {
///     let [first, second] = &mut halves;
///     let (previous, words) = if half % 2 == 0 { (second, first) } else { (first, second) };
///     held.fill(&mut modulator, Density::from_bits(1 << 29), previous, words); // an eighth
/// }
/// assert_eq!(halves, [[0x0101_0101; 32]; 2]);
/// ```
#[derive(Clone, Debug)]
pub struct Held {
    /// What the words so far were drawn with, and the charge that they left.
    density: Density,
    charge: u32,
    stretch: Stretch,
    form: Form,
    /// Words drawn so far with this density, as history to copy from.
    words: u16,
    /// Ticks that a copy goes back.
    distance: u16,
    /// What a visit at the end of a buffer changes at the beginning of the next.
    carried: u32,
    returns: Returns,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    /// As [`FirstOrder`] does, until it pays to prepare.
    Plain,
    /// The same, and it will not pay.
    Refused,
    /// Dark (or full) words, and each one (or zero) put in.
    Pulses,
    /// Words copied from earlier ones, and two decisions changed now and then.
    Copies,
}

/// Words that are drawn together at most.
const MOST_WORDS: usize = 1 << 15;

impl Held {
    /// Knows of no words yet.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            density: Density::NONE,
            charge: 0,
            stretch: Stretch::One,
            form: Form::Plain,
            words: 0,
            distance: 0,
            carried: 0,
            returns: Returns::NEVER,
        }
    }

    /// The next ticks of a modulator, 32 a word, the earliest in the most significant bit.
    ///
    /// `previous` holds the words drawn last, as they were drawn, of the last call or of several; if it is empty, or shorter than a copy goes back (127
    /// words at most), the stream is the same and costs more. **If it holds anything else, the stream is not that of the density.**
    /// Words of this modulator that are drawn in another way are to be told of by [`Held::forget`]; a wake-up is noticed.
    #[inline(always)]
    pub fn fill(
        &mut self,
        modulator: &mut FirstOrder,
        density: Density,
        previous: &[u32],
        words: &mut [u32],
    ) {
        self.fill_as(modulator, density, Decision::PLAIN, previous, words);
    }

    /// The same, in decisions of another length.
    #[inline(always)]
    pub fn fill_as(
        &mut self,
        modulator: &mut FirstOrder,
        density: Density,
        Decision { stretch, .. }: Decision,
        previous: &[u32],
        words: &mut [u32],
    ) {
        if !self.stands(modulator, density, stretch) || !self.draw(modulator, previous, words) {
            self.draw_slowly(modulator, density, stretch, previous, words);
        }
    }

    /// Words have been drawn in another way: nothing can be copied from before.
    pub const fn forget(&mut self) {
        self.form = Form::Plain;
        self.words = 0;
    }

    /// Whether the words so far were drawn so, and nothing has changed the charge since.
    #[inline(always)]
    fn stands(&self, modulator: &FirstOrder, density: Density, stretch: Stretch) -> bool {
        self.density == density
            && self.charge == modulator.charge()
            && modulator.owed() == 0
            && self.stretch == stretch
    }

    /// The fast way, if it is prepared.
    #[inline(always)]
    fn draw(&mut self, modulator: &mut FirstOrder, previous: &[u32], words: &mut [u32]) -> bool {
        words.len() <= MOST_WORDS
            && match self.form {
                Form::Plain | Form::Refused => false,
                Form::Pulses => self.draw_pulses(modulator, words),
                Form::Copies => self.draw_copies(modulator, previous, words),
            }
    }

    /// So many ticks are drawn.
    #[inline(always)]
    fn go_on(&mut self, modulator: &mut FirstOrder, ticks: u32) {
        self.returns.due = self.returns.due.wrapping_sub(ticks);
        modulator.skip(self.density, ticks >> self.stretch.shift());
        self.charge = modulator.charge();
    }

    const fn ones_are_rarer(&self) -> bool {
        self.density.to_bits() >> 31 == 0
    }
}

impl Default for Held {
    fn default() -> Self {
        Self::new()
    }
}

// As the docs say.
const _: () = assert!(size_of::<Held>() == 48);
