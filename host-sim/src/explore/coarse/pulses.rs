//! Pulse rates and dark gaps.

use milliglow::Level;

use super::Look;
use crate::check::glimpse::pulses_at;
use crate::metrics::first_order;
use crate::run::{BOTH_WAYS, Driven, From, Stand, Standing};

/// Pulses that a count over a second may be off where only the density is known.
const COUNT_SLACK_HZ: f64 = 3.0;

impl Look<'_> {
    pub(super) fn pulses_of_the_lowest(&mut self) {
        self.pulses_at(|look, _| vec![look.lowest()]);
    }

    pub(super) fn counted_pulses(&mut self) {
        if self.pulses_closed {
            return;
        }
        let slowest_hz = self.slowest_hz();
        for recipe in self.recipes() {
            let channels = pulses_at(self.description, recipe, self.lowest());
            for (density, pulses) in channels.into_iter().flatten() {
                let dark_s = pulses.longest_dark_ticks / slowest_hz;
                self.see_pulses(density, pulses.a_tick * slowest_hz, dark_s);
            }
        }
    }

    pub(super) fn pulses(&mut self) {
        self.pulses_at(|look, recipe| {
            let changes = if look.pulses_closed {
                look.row_changes(recipe)
            } else {
                Vec::new()
            };
            look.grid.iter().copied().chain(changes).collect()
        });
    }

    fn pulses_at(&mut self, levels: impl Fn(&Self, usize) -> Vec<Level>) {
        for recipe in self.recipes() {
            let mut standing = Standing::new(self.description, recipe);
            let ways: &[From] = if self.pulses_closed {
                &BOTH_WAYS
            } else {
                &[From::Below]
            };
            for level in levels(self, recipe) {
                for &way in ways {
                    let stands = standing.at(level, way);
                    let channels = self.driven.iter().zip(&stands);
                    let pulses: Vec<_> = channels
                        .filter_map(|(driven, stand)| self.pulsing(driven, stand))
                        .collect();
                    for (density, hertz, dark_s) in pulses {
                        self.see_pulses(density, hertz, dark_s);
                    }
                }
            }
        }
    }

    /// A lit channel's density, pulses a second and longest dark gap in seconds: exact, or at the best.
    fn pulsing(&self, driven: &Driven, stand: &Stand) -> Option<(f64, f64, f64)> {
        let slowest_hz = self.slowest_hz();
        let pulses = first_order(stand.density)?.stretched(driven.stretches[stand.row]);
        let density = stand.density.as_f64();
        if self.pulses_closed {
            return Some((
                density,
                pulses.a_tick * slowest_hz,
                pulses.longest_dark_ticks / slowest_hz,
            ));
        }
        let most_hz = pulses.a_tick * slowest_hz + COUNT_SLACK_HZ;
        Some((density, most_hz, (1.0 - density) / most_hz))
    }

    fn see_pulses(&mut self, density: f64, hertz: f64, dark_s: f64) {
        self.scores
            .see(self.limits.dark_gap.id, dark_s / self.limits.dark_gap.limit);
        if density <= 0.5 {
            self.scores.see(
                self.limits.pulse_rate.id,
                self.limits.pulse_rate.limit / hertz,
            );
        }
    }
}
