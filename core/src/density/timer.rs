//! A timer's PWM as a stream of bits.

use super::flood::flood;
use super::{Decision, Density, NoiseSource, waking_charge};
use crate::fraction::wide_product;
use crate::requantise::{Order, Requantiser, TimerPwm};

/// PWM of 2^bits decisions a period, each lit at its beginning, its duties those of a [`Requantiser`].
///
/// A change of density shows in the next period, except that none is dark and full is lit from the next word on. What a
/// period was asked for and did not give goes into the next, so that no charge is lost (not with [`Order::Rounding`]).
/// An edge takes its charge as the pulse begins. *State*: 16 bytes.
#[derive(Clone, Debug)]
pub struct Timer {
    duties: Requantiser,
    /// Decisions left of the period.
    left: u16,
    /// Ones left of them; between periods 1 if the last one ended lit.
    ones: u16,
}

impl Timer {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 step of the duty.
    #[must_use]
    pub const fn new(pwm: TimerPwm, phase: u32) -> Self {
        Self {
            duties: Requantiser::new(pwm, phase),
            left: 0,
            ones: 0,
        }
    }

    /// The next ticks of a whole slice, 32 a word, the earliest in the most significant bit.
    pub fn fill(&mut self, density: Density, words: &mut [u32], noise: &mut impl NoiseSource) {
        self.fill_as(density, Decision::PLAIN, words, noise);
    }

    /// The same, in decisions of another length and with edges that take of the light.
    pub fn fill_as(
        &mut self,
        density: Density,
        decision: Decision,
        words: &mut [u32],
        noise: &mut impl NoiseSource,
    ) {
        match density {
            Density::NONE | Density::FULL => {
                let lit = density == Density::FULL;
                if lit && !self.is_lit() {
                    self.duties.add_charge(decision.edge.charge());
                }
                self.pass(decision, words.len());
                self.ones = match (lit, self.left) {
                    (false, _) => 0,
                    (true, 0) => 1,
                    (true, left) => left,
                };
                flood(words, if lit { u32::MAX } else { 0 });
            }
            _ => words.fill_with(|| self.next_word(density, decision, noise)),
        }
    }

    fn next_word(
        &mut self,
        density: Density,
        decision: Decision,
        noise: &mut impl NoiseSource,
    ) -> u32 {
        let count = decision.stretch.decisions_a_word();
        let (mut left, mut ones) = (u32::from(self.left), u32::from(self.ones));
        if left == 0 {
            let was_lit = self.is_lit();
            left = self.duties.pwm().period();
            let edge = decision.edge.charge();
            ones = self
                .duties
                .plan(density, if self.books_ahead() { edge } else { 0 }, noise);
            if ones > 0 && !was_lit {
                self.duties.add_charge(edge);
            }
        }
        let given = ones.min(count);
        let asked = density.exact() << (5 - decision.stretch.shift());
        self.duties.add_charge(asked - (i64::from(given) << 32));
        self.left = (left - count) as u16;
        let ended_lit = left == count && given == count;
        self.ones = if ended_lit { 1 } else { (ones - given) as u16 };
        let word = ((1_u64 << count) - (1_u64 << (count - given))) as u32;
        decision.stretch.expand(word)
    }

    /// Without feedback what an edge takes is to be given beforehand.
    fn books_ahead(&self) -> bool {
        self.duties.pwm().order() == Order::Rounding
    }

    /// Whether the last decision was a one.
    fn is_lit(&self) -> bool {
        self.ones > 0
    }

    /// The period goes on for so many words without ones of its own.
    pub(super) fn pass(&mut self, decision: Decision, words: usize) {
        let decisions = (words as u32).wrapping_mul(decision.stretch.decisions_a_word());
        let within = self.duties.pwm().period() - 1;
        self.left = (u32::from(self.left).wrapping_sub(decisions) & within) as u16;
        self.ones = 0;
    }

    /// Wakes up from black with a pulse at once, if the duty is a step or more; a phase, 0 to 2^32 - 1 for 0 to 1 period, puts
    /// the periods off by that part of one, in steps of 32 decisions. Charge left from before is dropped.
    pub const fn wake(&mut self, density: Density, phase: u32) {
        if let Some(charge) = waking_charge(density, 0) {
            let late = (phase >> (32 - self.duties.pwm().bits())) & !31;
            let before = wide_product(density.to_bits(), late).cast_signed();
            self.duties.restart((charge >> 1) as i64 - before);
            self.left = late as u16;
            self.ones = 0;
        }
    }

    pub(super) const fn charge(&self) -> i64 {
        self.duties.charge()
    }

    /// A new charge; a pulse in flight is cut off, and what it would have given is still owed.
    pub(super) const fn restart(&mut self, charge: i64) {
        self.duties.restart(charge);
        // Decisions of any length fill whole words of the rest.
        self.left &= !31;
        self.ones = (self.left == 0 && self.ones > 0) as u16;
    }
}
