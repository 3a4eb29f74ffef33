//! A model of a DMA that plays two halves while they are refilled late, in time, or during an interrupt.

use milliglow::output::{Half, Refill, SentHalves};
use milliglow_tests::cases::cases;
use proptest::collection::vec;
use proptest::prelude::*;

/// Plays halves, and knows for each the number of the filling that it holds.
struct Dma {
    sent: SentHalves,
    playing: u32,
    holds: [u32; 2],
    stale: u32,
}

impl Dma {
    fn new() -> Self {
        Self {
            sent: SentHalves::new(),
            playing: 0,
            holds: [0, 1],
            stale: 0,
        }
    }

    /// Goes on to the other half.
    fn advance(&mut self, heard: bool) {
        self.playing += 1;
        let place = self.playing as usize % 2;
        self.stale += u32::from(self.holds[place] != self.playing);
        if heard {
            self.sent.begun([Half::First, Half::Second][place]);
        }
    }
}

proptest! {
    #![proptest_config(cases())]

    /// `passes` are halves played before each filling and during it.
    #[test]
    fn counts_every_stale_half(passes in vec((0_u32..4, 0_u32..3), 1..60)) {
        let (mut dma, mut refill) = (Dma::new(), Refill::new());
        for (before, during) in passes {
            (0..before).for_each(|_| dma.advance(true));
            let due = refill.due(&dma.sent);
            prop_assert_eq!(refill.underruns(), dma.stale);
            let Some(half) = due else { continue };
            let place = usize::from(half == Half::Second);
            prop_assert_ne!(place, dma.playing as usize % 2, "the half that is being sent");
            (0..during).for_each(|_| dma.advance(true));
            let in_time = refill.filled(&dma.sent);
            prop_assert_eq!(in_time, during == 0);
            if in_time {
                dma.holds[place] = dma.playing + 1;
            }
            prop_assert_eq!(refill.underruns(), dma.stale);
        }
    }
}

#[test]
fn refills_turn_by_turn_and_only_when_due() {
    let (sent, mut refill) = (SentHalves::new(), Refill::new());
    assert_eq!(refill.due(&sent), None);
    for half in [Half::Second, Half::First, Half::Second, Half::First] {
        sent.begun(half);
        let other = if half == Half::First {
            Half::Second
        } else {
            Half::First
        };
        assert_eq!(refill.due(&sent), Some(other));
        assert!(refill.filled(&sent));
        assert_eq!(refill.due(&sent), None);
    }
    assert_eq!(refill.underruns(), 0);
}

#[test]
fn a_lost_interrupt_is_an_underrun() {
    let (mut dma, mut refill) = (Dma::new(), Refill::new());
    dma.advance(false);
    dma.advance(true);
    assert_eq!(refill.due(&dma.sent), Some(Half::Second));
    assert_eq!((refill.underruns(), dma.stale), (1, 1));
}

#[test]
fn a_half_is_a_half() {
    let mut buffer = [1, 2];
    *Half::Second.of(&mut buffer) = 7;
    *Half::First.of(&mut buffer) += 3;
    assert_eq!(buffer, [4, 7]);
}
