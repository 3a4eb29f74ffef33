//! All combinations of what may vary, in a fixed order.

use std::fmt;

use super::candidate::{Candidate, LowerRange, Stretched, has_edges};
use super::tick_rates::TickRates;
use crate::description::{Description, Explore, Modulation};
use crate::numbers::grouped;

/// Combinations that are searched at most.
pub const MOST_CANDIDATES: usize = 100_000;

/// What is searched.
#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// The tick rates and where they come from.
    pub tick_rates: TickRates,
    /// Ratios of a lower current range that are tried, 1 being none.
    pub range_ratios: Vec<f64>,
    /// Ratios that the file lists and its `[hardware]` does not offer.
    pub ratios_left_out: usize,
    /// Every combination.
    pub candidates: Vec<Candidate>,
}

/// Why there is nothing to search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SpaceError {
    /// No tick rate between the bounds divides the clock.
    NoTickRate {
        /// The chip's clock in Hz.
        chip_hz: u32,
        /// Lowest and highest rate allowed, in Hz.
        bounds_hz: (u32, u32),
    },
    /// Every list holds one value, or none that goes with the others.
    NothingToVary,
    /// More combinations than [`MOST_CANDIDATES`].
    TooMany(usize),
}

impl fmt::Display for SpaceError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoTickRate { chip_hz, bounds_hz } => write!(
                formatter,
                "no tick rate from {} to {} Hz divides the chip's clock of {} Hz; change `chip_hz`, `tick_hz_min` or \
                 `tick_hz_max` of [explore], or `tick_hz_max` of [hardware]",
                grouped(bounds_hz.0.into()),
                grouped(bounds_hz.1.into()),
                grouped((*chip_hz).into())
            ),
            Self::NothingToVary => formatter.write_str(
                "nothing to vary: [explore] leaves no more than one combination; give one of its lists a second value",
            ),
            Self::TooMany(count) => write!(
                formatter,
                "too many combinations: {}, allowed are {}; shorten the lists of [explore]",
                grouped(*count as f64),
                grouped(MOST_CANDIDATES as f64)
            ),
        }
    }
}

impl std::error::Error for SpaceError {}

impl Space {
    /// What may vary of a luminaire.
    ///
    /// # Errors
    /// When that is nothing, or too much.
    pub fn of(description: &Description) -> Result<Self, SpaceError> {
        let explore = &description.explore;
        let tick_rates = TickRates::of(description);
        if tick_rates.rates_hz.is_empty() {
            return Err(SpaceError::NoTickRate {
                chip_hz: tick_rates.chip_hz,
                bounds_hz: (tick_rates.least_hz, tick_rates.most_hz),
            });
        }
        let most_ratio = most_ratio(description);
        let listed = explore.range_ratios.clone();
        let listed = sorted(listed.unwrap_or_else(|| doubled(most_ratio)));
        let range_ratios: Vec<f64> = listed
            .iter()
            .copied()
            .filter(|ratio| *ratio <= most_ratio)
            .collect();
        let axes = Axes::of(description, &range_ratios);
        let count = tick_rates.rates_hz.len().saturating_mul(axes.count());
        match count {
            0 | 1 => return Err(SpaceError::NothingToVary),
            _ if count > MOST_CANDIDATES => return Err(SpaceError::TooMany(count)),
            _ => {}
        }
        let styles = axes.styles();
        let with = |&tick_hz: &u32| {
            styles
                .iter()
                .map(move |style| Candidate { tick_hz, ..*style })
        };
        Ok(Self {
            candidates: tick_rates.rates_hz.iter().flat_map(with).collect(),
            ratios_left_out: listed.len() - range_ratios.len(),
            range_ratios,
            tick_rates,
        })
    }
}

/// The largest ratio of a lower range: what the hardware could do, or what the file does.
pub(super) fn most_ratio(description: &Description) -> f64 {
    let rows = description
        .channels
        .iter()
        .flat_map(|channel| &channel.rows);
    let used = rows.map(|row| row.range_ratio);
    used.fold(description.hardware.range_ratio_max, f64::max)
}

/// Everything but the tick rate.
struct Axes {
    /// Each with the stretches that go with it.
    modulations: Vec<(Modulation, Vec<Option<Stretched>>)>,
    edge_factors: Vec<f64>,
    lower_ranges: Vec<Option<LowerRange>>,
}

impl Axes {
    fn of(description: &Description, ratios: &[f64]) -> Self {
        let explore = &description.explore;
        let mut channels = description.channels.iter();
        let edges = channels.any(|channel| has_edges(&channel.driver));
        let modulations = modulations(explore).into_iter();
        Self {
            modulations: modulations
                .map(|modulation| (modulation, stretches(explore, modulation)))
                .collect(),
            edge_factors: if edges {
                sorted(explore.edge_factors.clone())
            } else {
                vec![1.0]
            },
            lower_ranges: lower_ranges(explore, ratios),
        }
    }

    fn count(&self) -> usize {
        let stretched = self
            .modulations
            .iter()
            .map(|(_, stretches)| stretches.len());
        stretched.sum::<usize>() * self.edge_factors.len() * self.lower_ranges.len()
    }

    fn styles(&self) -> Vec<Candidate> {
        let mut styles = Vec::with_capacity(self.count());
        for (modulation, stretches) in &self.modulations {
            for &edge_factor in &self.edge_factors {
                for &lower_range in &self.lower_ranges {
                    styles.extend(stretches.iter().map(|&stretched| Candidate {
                        tick_hz: 0,
                        modulation: *modulation,
                        edge_factor,
                        lower_range,
                        stretched,
                    }));
                }
            }
        }
        styles
    }
}

/// Orders with the dithers and timers that go with them.
fn modulations(explore: &Explore) -> Vec<Modulation> {
    let mut found = Vec::new();
    for &timer in &explore.timer_bits {
        for &order in &explore.orders {
            for &dither in &explore.dither_shifts {
                let modulation = match (timer, order, dither) {
                    (Some(bits), order, width_shift) => Modulation::Timer {
                        bits,
                        order,
                        width_shift,
                    },
                    (None, 1, None) => Modulation::FirstOrder,
                    (None, 1, Some(width_shift)) => Modulation::Dithered { width_shift },
                    (None, 2, None) => Modulation::SecondOrder,
                    _ => continue,
                };
                if !found.contains(&modulation) {
                    found.push(modulation);
                }
            }
        }
    }
    found
}

/// A timer's period takes no stretch.
fn stretches(explore: &Explore, modulation: Modulation) -> Vec<Option<Stretched>> {
    let mut ticks = explore.stretches.clone();
    ticks.sort_unstable();
    ticks.dedup();
    if matches!(modulation, Modulation::Timer { .. }) {
        return vec![None];
    }
    let from = sorted(explore.stretch_from_percent.clone());
    let stretched = |ticks: u8| {
        let each = from.iter().map(move |&from_percent| {
            Some(Stretched {
                ticks,
                from_percent,
            })
        });
        if ticks == 1 {
            vec![None]
        } else {
            each.collect()
        }
    };
    ticks.into_iter().flat_map(stretched).collect()
}

fn lower_ranges(explore: &Explore, ratios: &[f64]) -> Vec<Option<LowerRange>> {
    let reached = sorted(explore.lower_range_below_percent.clone());
    let ranges = |&ratio: &f64| {
        let each = reached.iter().map(move |percent| {
            let below_percent = six_digits(percent / ratio);
            Some(LowerRange {
                ratio,
                below_percent,
            })
        });
        if ratio == 1.0 {
            vec![None]
        } else {
            each.collect()
        }
    };
    ratios.iter().flat_map(ranges).collect()
}

/// A number that is short to write down and below which nothing is lost.
fn six_digits(number: f64) -> f64 {
    format!("{number:.5e}").parse().unwrap_or(number)
}

fn sorted(mut numbers: Vec<f64>) -> Vec<f64> {
    numbers.sort_by(f64::total_cmp);
    numbers.dedup();
    numbers
}

/// 1, 2, 4, ... and the largest.
fn doubled(most: f64) -> Vec<f64> {
    let doubled = std::iter::successors(Some(1.0), |ratio| Some(2.0 * ratio));
    doubled
        .take_while(|ratio| *ratio < most)
        .chain([most])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::{BUILT_IN, parse};

    fn space(keys: &str) -> Result<Space, SpaceError> {
        let text = format!("{BUILT_IN}\n{keys}");
        Space::of(&parse(&text, "built in").unwrap_or_else(|problem| panic!("{problem}")))
    }

    #[test]
    fn every_combination_comes_once() {
        let found = space(
            "[hardware]\nrange_ratio_max = 8\n[explore]\ntick_hz_min = 4_000_000\ntick_hz_max = 6_000_000\n\
             range_ratios = [8, 1, 4, 16]\nstretches = [1, 4]\ntimer_bits = [0, 8]\ndither_steps = [0, 1]",
        );
        let found = found.unwrap();
        assert_eq!((found.range_ratios.len(), found.ratios_left_out), (3, 1));
        // 4, 4.8 and 6 MHz; of three streams and four timers the streams with three stretches; three ranges.
        assert_eq!(found.candidates.len(), 3 * (3 * 3 + 4) * 3);
        for (k, candidate) in found.candidates.iter().enumerate() {
            assert!(!found.candidates[..k].contains(candidate), "{candidate:?}");
        }
    }

    #[test]
    fn nothing_and_too_much_are_refused() {
        let one = "[explore]\ntick_hz_min = 6_000_000\ntick_hz_max = 6_000_000\norders = [1]\nstretches = [1]\nrange_ratios = [1]";
        assert_eq!(space(one), Err(SpaceError::NothingToVary));
        let none =
            space("[explore]\ntick_hz_min = 6_500_000\ntick_hz_max = 7_000_000").unwrap_err();
        assert!(
            none.to_string().contains("6_500_000 to 7_000_000 Hz"),
            "{none}"
        );
        let much = "[hardware]\nrange_ratio_max = 1000\n[explore]\nrange_ratios = [2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17]\n\
                    lower_range_below_percent = [1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16]\n\
                    stretch_from_percent = [1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16]";
        let much = space(much).unwrap_err();
        assert!(much.to_string().contains("allowed are 100_000"), "{much}");
    }

    #[test]
    fn ratios_double_up_to_the_largest() {
        assert_eq!(doubled(1.0), [1.0]);
        assert_eq!(doubled(12.5), [1.0, 2.0, 4.0, 8.0, 12.5]);
        assert_eq!(doubled(8.0), [1.0, 2.0, 4.0, 8.0]);
    }

    /// The lower range is left at a part of what it reaches.
    #[test]
    fn a_lower_range_is_used_up_to_a_part_of_its_full_light() {
        let found = space(
            "[hardware]\nrange_ratio_max = 8\n[explore]\ntick_hz_min = 6_000_000\ntick_hz_max = 6_000_000\norders = [1]\n\
             stretches = [1]\nrange_ratios = [1, 8]\nlower_range_below_percent = [40, 80]",
        );
        let ranges: Vec<_> = found
            .unwrap()
            .candidates
            .iter()
            .map(|candidate| candidate.lower_range.map(|range| range.below_percent))
            .collect();
        assert!(
            ranges.ends_with(&[None, Some(5.0), Some(10.0)]),
            "{ranges:?}"
        );
    }
}
