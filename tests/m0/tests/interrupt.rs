//! An interrupt after every single instruction finds a half-made state where there is one, and none where there is none.

use milliglow_m0::{Image, Interrupted, Machine, Timing};

/// str r1, [r0]; str r1, [r0, #4]; movs r0, #7; bx lr
const PLAIN: [u16; 4] = [0x6001, 0x6041, 0x2007, 0x4770];
/// The same between cpsid i and cpsie i.
const MASKED: [u16; 6] = [0xB672, 0x6001, 0x6041, 0xB662, 0x2007, 0x4770];
/// ldr r1, [r0]; ldr r2, [r0, #4]; subs r0, r1, r2; bx lr
const READ: [u16; 4] = [0x6801, 0x6842, 0x1A88, 0x4770];

/// What the reader sees after each instruction of an update from 3, 3 to 5, 5: the difference of the two words.
fn seen(update: &[u16]) -> Vec<u32> {
    let image = Image::from_functions(&[("update", update), ("read", &READ)]);
    let mut machine = Machine::new(&image, Timing::FAST).expect("fits");
    let at = machine.allocate(8).expect("RAM");
    let after = |after| {
        machine.write_words(at, &[3, 3]).expect("RAM");
        let found = machine.call_interrupted(("update", &[at, 5]), ("read", &[at]), after);
        let Interrupted { call, handler } = found.expect("runs")?;
        assert_eq!(call, 7, "registers are given back");
        assert_eq!(machine.read_words(at, 2).expect("RAM"), [5, 5]);
        Some(handler)
    };
    (0..).map_while(after).collect()
}

#[test]
fn a_torn_update_is_seen_after_just_the_torn_instruction() {
    assert_eq!(seen(&PLAIN), [0, 2, 0, 0]);
}

#[test]
fn a_masked_update_is_never_seen_torn() {
    assert_eq!(seen(&MASKED), [0, 0, 0, 0, 0, 0]);
}
