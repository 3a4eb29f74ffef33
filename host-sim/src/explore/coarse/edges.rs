//! Edges a second.

use crate::check::glimpse::grid;
use crate::description::{Description, Modulation};
use crate::metrics::first_order;
use crate::run::{Driven, From, Standing};

/// Rising and falling edges a second of all channels together, at the light that has most of them. Of streams without a
/// closed form what their density allows; a timer's pulses come once a period.
pub(in crate::explore) fn most_edges_hz(description: &Description) -> f64 {
    let driven = Driven::all(description);
    let tick_hz = f64::from(description.tick_hz);
    let mut most = 0.0_f64;
    for recipe in 0..description.recipes.len() {
        let mut standing = Standing::new(description, recipe);
        for level in grid(description) {
            let stands = standing.at(level, From::Below);
            let channels = driven.iter().zip(&stands).zip(&description.channels);
            let edges = channels.map(|((driven, stand), channel)| {
                let pulses = first_order(stand.density).map_or(0.0, |pulses| pulses.a_tick);
                let pulses = match channel.modulation {
                    Modulation::Timer { bits, .. } => pulses.min(1.0 / f64::from(1_u32 << bits)),
                    _ => pulses / f64::from(driven.stretches[stand.row]),
                };
                2.0 * tick_hz * pulses
            });
            most = most.max(edges.sum());
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::most_edges_hz;
    use crate::description::{Modulation, OperatingRow, parse};

    /// A channel that reaches half density has an edge a decision there; a timer's has two a period.
    #[test]
    fn edges_are_most_at_half_density() {
        let text = include_str!("../../../luminaires/cove-light-first-draft.toml");
        let mut one = parse(text, "draft").unwrap();
        one.channels.truncate(1);
        one.recipes.truncate(1);
        one.recipes[0].shares = vec![1.0];
        let mut over = |modulation, stretch| {
            one.channels[0].modulation = modulation;
            one.channels[0].rows = vec![OperatingRow {
                stretch,
                ..OperatingRow::PLAIN
            }];
            most_edges_hz(&one) / f64::from(one.tick_hz)
        };
        let plain = over(Modulation::FirstOrder, 1);
        assert!((0.95..=1.0).contains(&plain), "{plain}");
        assert_eq!(over(Modulation::FirstOrder, 8), plain / 8.0);
        let timer = Modulation::Timer {
            bits: 8,
            order: 1,
            width_shift: None,
        };
        assert_eq!(over(timer, 1), 2.0 / 256.0);
    }

    /// A recipe that never comes to half density has fewer.
    #[test]
    fn the_recipe_with_most_edges_counts() {
        let text = include_str!("../../../luminaires/cove-light-first-draft.toml");
        let mut one = parse(text, "draft").unwrap();
        one.channels.truncate(1);
        one.channels[0].modulation = Modulation::FirstOrder;
        one.recipes.truncate(2);
        (one.recipes[0].shares, one.recipes[1].shares) = (vec![0.1], vec![1.0]);
        let most = most_edges_hz(&one) / f64::from(one.tick_hz);
        assert!((0.95..=1.0).contains(&most), "{most}");
    }
}
