//! Clipping that nobody declared, found in the samples.

use std::collections::BTreeSet;

/// Equal samples in a row that make a flat piece.
const RUN: u32 = 3;
/// Flat pieces at the top that make a suspicion: one may be a light that rose and stayed.
const PIECES: u32 = 2;
/// Samples with an equal neighbour elsewhere, as a part of all, that a clipped record holds at most.
const ELSEWHERE: f64 = 0.01;

/// Watches for flat pieces at the largest value of a record.
///
/// *Rule*: a record is clipped at its largest value if two or more pieces of three or more equal samples lie there, more
/// samples in all than have an equal neighbour elsewhere, and those are under 1 % of the record. Noise keeps the top of a real light from
/// being flat; a square is flat at its bottom too, and a rounded top even more so just below its peak. A computed light
/// whose top alone is flat, such as a trapezoid or a duty above 99 %, cannot be told from a clipped one, and coarse
/// quantisation or a bottom cut off hides clipping: a declared full scale decides instead.
#[derive(Default)]
pub(super) struct FlatTop {
    most: Option<f64>,
    before: Option<f64>,
    run: u32,
    at_top: u64,
    pieces_at_top: u32,
    elsewhere: u64,
    samples: u64,
    /// Where the flat pieces at the top are.
    slots: BTreeSet<u64>,
}

impl FlatTop {
    /// The next sample; `slot` is where it is.
    pub(super) fn see(&mut self, value: f64, slot: u64) {
        if self.most.is_none_or(|most| value > most) {
            self.elsewhere += self.at_top;
            (self.most, self.at_top, self.pieces_at_top) = (Some(value), 0, 0);
            self.slots.clear();
        }
        self.samples += 1;
        let equal = self.before.replace(value) == Some(value);
        self.run = if equal { self.run.saturating_add(1) } else { 1 };
        if !equal {
            return;
        }
        if self.most != Some(value) {
            // The first of them counts too.
            self.elsewhere += if self.run == 2 { 2 } else { 1 };
        } else if self.run >= RUN {
            self.at_top += u64::from(if self.run == RUN { RUN } else { 1 });
            self.pieces_at_top += u32::from(self.run == RUN);
            self.slots.insert(slot);
        }
    }

    /// Where the record is clipped; nowhere if it is not.
    pub(super) fn clipped(self) -> BTreeSet<u64> {
        let is_clipped = self.pieces_at_top >= PIECES
            && self.at_top > self.elsewhere
            && self.elsewhere as f64 <= ELSEWHERE * self.samples as f64;
        if is_clipped {
            self.slots
        } else {
            BTreeSet::new()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    /// A period of 200 samples, 100 times, in steps; a slot a period.
    fn clipped(step: f64, light: impl Fn(f64, u64) -> f64) -> Vec<u64> {
        let mut top = FlatTop::default();
        for index in 0..20_000_u64 {
            let light = light(index as f64 / 200.0, index);
            top.see((light / step).round() * step, index / 200);
        }
        top.clipped().into_iter().collect()
    }

    const NOWHERE: [u64; 0] = [];

    /// -1 to 1, even, the same for the same index.
    fn noise(index: u64) -> f64 {
        let bits = (index + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let mixed = (bits ^ (bits >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9) >> 11;
        mixed as f64 / (1_u64 << 52) as f64 - 1.0
    }

    fn sine(periods: f64) -> f64 {
        1.0 + 0.5 * (TAU * periods).sin()
    }

    #[test]
    fn a_sine_that_is_cut_off_is_clipped_where_it_is_higher() {
        let swell = |periods: f64| {
            if (40.0..42.0).contains(&periods) {
                1.3
            } else {
                1.0
            }
        };
        let cut = |periods: f64, _| (swell(periods) * sine(periods)).min(1.6);
        assert_eq!(clipped(1e-4, cut), [40, 41]);
        let noisy = |periods: f64, index| (sine(periods) + 0.01 * noise(index)).min(1.4);
        assert_eq!(clipped(1e-6, noisy).len(), 100);
    }

    #[test]
    fn whole_sines_squares_and_a_light_that_rose_are_not() {
        for step in [1e-6, 1e-4, 1e-2] {
            assert_eq!(clipped(step, |periods, _| sine(periods)), NOWHERE, "{step}");
            let rectified = |periods: f64, _| (TAU * periods).sin().abs();
            assert_eq!(clipped(step, rectified), NOWHERE, "{step}");
            let rose = |periods: f64, _| (periods / 50.0).min(1.0);
            assert_eq!(clipped(step, rose), NOWHERE, "{step}");
            for duty in [0.1, 0.5, 0.9] {
                let square = |periods: f64| f64::from(u8::from(periods.fract() < duty));
                assert_eq!(
                    clipped(step, |periods, _| square(periods)),
                    NOWHERE,
                    "{duty}"
                );
                let noisy = |periods, index| square(periods) + 0.02 * noise(index);
                assert_eq!(clipped(step, noisy), NOWHERE, "{step} {duty}");
            }
        }
    }
}
