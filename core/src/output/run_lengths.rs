//! Pulses and gaps for timers that compare and reload.

/// A pulse and the gap after it, in ticks.
///
/// On a timer, `on + off` is the period and `on` the compare value. Without a pulse, `on` is 0; without a gap, `off` is 0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Run {
    /// Ticks lit.
    pub on: u16,
    /// Ticks dark after them.
    pub off: u16,
}

impl Run {
    const NONE: Self = Self { on: 0, off: 0 };

    /// Ticks in all; never more than were asked for at [`RunLengths::new`].
    pub const fn ticks(self) -> u16 {
        self.on.wrapping_add(self.off)
    }
}

/// Turns the words of a channel into runs; carries one that is not over yet into the next word.
///
/// A run is given as soon as the next pulse begins, or when it is as long as the timer can count: ticks are held back no longer than
/// that. *State*: 6 bytes. *Cost*: a few tens of cycles a pulse, one comparison for a word without a change; no division.
///
/// ```
/// use milliglow::output::{Run, RunLengths};
/// let mut runs = RunLengths::new(1_000);
/// let mut given = [Run::default(); 3];
/// let mut places = given.iter_mut();
/// runs.feed(&[0xC000_0000, 0x0100_0000, 0x8000_0000], |run| *places.next().expect("two") = run);
/// assert_eq!(given, [Run { on: 2, off: 37 }, Run { on: 1, off: 24 }, Run { on: 0, off: 0 }]);
/// ```
#[derive(Clone, Debug)]
pub struct RunLengths {
    run: Run,
    most: u16,
}

impl RunLengths {
    /// With the longest period of the timer in ticks, 1 to 65 535; 0 is taken as 1.
    #[must_use]
    pub const fn new(most: u16) -> Self {
        Self {
            run: Run::NONE,
            most: if most == 0 { 1 } else { most },
        }
    }

    /// Hands every run that ends within these words to `give`, the earliest first.
    pub fn feed(&mut self, words: &[u32], mut give: impl FnMut(Run)) {
        for &word in words {
            self.feed_word(word, &mut give);
        }
    }

    fn feed_word(&mut self, mut word: u32, give: &mut impl FnMut(Run)) {
        let mut left = 32;
        while left > 0 {
            let lit = word >> 31 == 1;
            let same = if lit {
                word.leading_ones()
            } else {
                word.leading_zeros()
            };
            let same = if same < left { same } else { left };
            self.extend(lit, same as u16, give);
            word = word.unbounded_shl(same);
            left -= same;
        }
    }

    /// A pulse after a gap begins another run.
    fn extend(&mut self, lit: bool, mut ticks: u16, give: &mut impl FnMut(Run)) {
        if lit && self.run.off > 0 {
            self.hand_over(give);
        }
        while ticks > 0 {
            let room = self.most.wrapping_sub(self.run.ticks());
            let taken = if ticks < room { ticks } else { room };
            let part = if lit {
                &mut self.run.on
            } else {
                &mut self.run.off
            };
            *part = part.wrapping_add(taken);
            ticks -= taken;
            if taken == room {
                self.hand_over(give);
            }
        }
    }

    fn hand_over(&mut self, give: &mut impl FnMut(Run)) {
        give(self.run);
        self.run = Run::NONE;
    }

    /// What is held back: it goes on with the next word.
    #[must_use]
    pub const fn pending(&self) -> Run {
        self.run
    }
}
