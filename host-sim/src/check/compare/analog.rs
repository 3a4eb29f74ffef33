//! Plain dimming by the set point: what its tolerances leave of a light asked for.

use rand::RngExt;
use rand_pcg::Pcg32;
use rayon::prelude::*;

use super::super::colour::channels;
use super::super::quantile::quantile;
use super::super::spread::PART;
use crate::colour::{Xy, mix};
use crate::description::{Analog, Description};
use crate::metrics::chromaticity;
use crate::optics::drivers::{Knot, OverCurrent};
use crate::run::test_lights;

/// Units drawn.
pub const UNITS: u32 = 1_000;

/// What a set point gives at a light of a recipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnalogRow {
    /// Index of the recipe.
    pub recipe: usize,
    /// The light asked for, as a fraction of full.
    pub light: f64,
    /// Light that the lowest, the middle and the highest of the 95 % in the middle give, as fractions of full.
    pub given: [f64; 3],
    /// What 95 % of the units hold of the light asked for, relative.
    pub light_error: f64,
    /// Likewise of the colour at full, delta u'v', LEDs as designed; units without any light do not count.
    pub colour_error: f64,
    /// Units in which a channel of the recipe stays dark, as a fraction.
    pub dark: f64,
    /// Current of all channels, in full currents of a channel.
    pub supply: f64,
}

/// Every recipe at every test light from the lowest asked for on.
pub(super) fn analog(file: &Description) -> Vec<AnalogRow> {
    let leds = file.channels.iter().zip(channels(file));
    let leds: Vec<_> = leds
        .map(|(channel, (xy, _))| {
            let own = channel.over_current.clone();
            own.unwrap_or_else(|| over_current(xy, file.analog))
        })
        .collect();
    let lights = test_lights(file);
    let places =
        (0..file.recipes.len()).flat_map(|recipe| lights.iter().map(move |&light| (recipe, light)));
    places
        .map(|(recipe, light)| row(file, &leds, recipe, light))
        .collect()
}

/// Knots a decade of current, and decades.
const KNOTS: u32 = 20;
const DECADES: u32 = 7;

/// Chromaticity that moves with the logarithm of the current; light in proportion to it.
fn over_current(xy: Xy, analog: Analog) -> OverCurrent {
    let knot = |k: u32| {
        let decades = f64::from(k) / f64::from(KNOTS);
        Knot {
            current: 10f64.powf(-decades),
            efficacy: 1.0,
            xy: Xy {
                x: (xy.x + decades * analog.x_a_decade).clamp(0.0, 1.0),
                y: (xy.y + decades * analog.y_a_decade).clamp(1e-3, 1.0),
            },
        }
    };
    let knots: Vec<_> = (0..=KNOTS * DECADES).rev().map(knot).collect();
    OverCurrent::new(&knots).expect("knots within range")
}

/// The current that a set point gives: gain and offset of the set point over the gain of what senses it.
fn current(set: f64, analog: Analog, dice: &mut Pcg32) -> f64 {
    let mut error = |most: f64| most * dice.random_range(-1.0..=1.0);
    let asked = set * (1.0 + error(analog.gain)) + error(analog.offset);
    (asked / (1.0 + error(analog.sense))).max(0.0)
}

/// What a unit gives: light as a fraction of the recipe's full, distance of its colour, whether a channel is dark.
struct Given {
    light: f64,
    colour: Option<f64>,
    dark: bool,
}

fn row(file: &Description, leds: &[OverCurrent], recipe: usize, light: f64) -> AnalogRow {
    let shares = &file.recipes[recipe].shares;
    let unit = |number: u32| given(file, leds, (recipe, light), number);
    let units: Vec<_> = (0..UNITS).into_par_iter().map(unit).collect();
    let part_of = |part: f64| quantile(units.iter().map(|unit| unit.light), part);
    let errors = units.iter().map(|unit| (unit.light / light - 1.0).abs());
    let colours = units.iter().filter_map(|unit| unit.colour);
    let dark = units.iter().filter(|unit| unit.dark).count();
    AnalogRow {
        recipe,
        light,
        given: [(1.0 - PART) / 2.0, 0.5, (1.0 + PART) / 2.0].map(part_of),
        light_error: quantile(errors, PART),
        colour_error: quantile(colours, PART),
        dark: dark as f64 / f64::from(UNITS),
        supply: light * shares.iter().sum::<f64>(),
    }
}

fn given(
    file: &Description,
    leds: &[OverCurrent],
    (recipe, light): (usize, f64),
    number: u32,
) -> Given {
    let mut dice = Pcg32::new(file.seed.into(), number.into());
    let shares = &file.recipes[recipe].shares;
    let currents: Vec<_> = shares
        .iter()
        .map(|&share| match share {
            0.0 => 0.0,
            share => current(share * light, file.analog, &mut dice),
        })
        .collect();
    let flux = |values: &[f64]| {
        let channels = file.channels.iter().zip(values);
        channels
            .map(|(channel, value)| channel.flux_lm * value)
            .sum::<f64>()
    };
    let lit = leds.iter().zip(&file.channels).zip(&currents);
    let colour = mix(lit.map(|((led, channel), &current)| {
        (
            led.xy(current.max(f64::MIN_POSITIVE)),
            channel.flux_lm * led.light(current),
        )
    }));
    let full = chromaticity(&channels(file), shares);
    let lights = leds.iter().zip(&currents);
    let lights: Vec<_> = lights.map(|(led, &current)| led.light(current)).collect();
    let mut dark = currents.iter().zip(shares);
    Given {
        light: flux(&lights) / flux(shares),
        colour: colour
            .zip(full)
            .map(|(one, other)| one.to_uv().distance(other)),
        dark: dark.any(|(current, share)| *share > 0.0 && *current == 0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::{analog, over_current};
    use crate::check::one_channel::one_channel as plain;
    use crate::colour::Xy;
    use crate::description::{Analog, Description};
    use crate::optics::drivers::{Knot, OverCurrent};

    fn one_channel(analog: Analog) -> Description {
        Description { analog, ..plain() }
    }

    const EXACT: Analog = Analog {
        offset: 0.0,
        gain: 0.0,
        sense: 0.0,
        x_a_decade: 0.0,
        y_a_decade: 0.0,
    };

    /// An offset of 0.1 % of full at a light of 0.1 %: evenly from dark to twice the light, so 95 % hold 95 % of it.
    #[test]
    fn an_offset_as_large_as_the_light_leaves_nothing_of_it() {
        let rows = analog(&one_channel(Analog {
            offset: 0.001,
            ..EXACT
        }));
        let deepest = rows.last().unwrap();
        assert_eq!(deepest.light, 0.001);
        assert!((deepest.light_error - 0.95).abs() < 0.02, "{deepest:?}");
        let [low, middle, high] = deepest.given.map(|light| light / 0.001);
        assert!(
            (low - 0.05).abs() < 0.02 && (high - 1.95).abs() < 0.02,
            "{deepest:?}"
        );
        assert!((middle - 1.0).abs() < 0.1, "{deepest:?}");
        let full = &rows[0];
        assert!((full.light_error - 0.00095).abs() < 2e-5, "{full:?}");
    }

    /// Gain and sense errors are in proportion to the light, so as bad at full as deep down.
    #[test]
    fn a_gain_is_off_by_as_much_at_every_light() {
        let rows = analog(&one_channel(Analog {
            gain: 0.02,
            ..EXACT
        }));
        for row in &rows {
            assert!(
                (row.light_error - 0.019).abs() < 5e-4 && row.dark == 0.0,
                "{row:?}"
            );
        }
    }

    /// Three decades down x has moved by three times its slope.
    #[test]
    fn the_colour_moves_with_the_decades_of_the_current() {
        let slope = Analog {
            x_a_decade: 0.003,
            y_a_decade: -0.001,
            ..EXACT
        };
        let led = over_current(Xy { x: 0.4, y: 0.39 }, slope);
        let moved = led.xy(1e-3);
        assert!((moved.x - 0.409).abs() < 1e-9 && (moved.y - 0.387).abs() < 1e-9);
        let rows = analog(&one_channel(slope));
        let [from, to] = [led.xy(1.0), moved].map(|xy| Xy {
            x: xy.x + 0.295,
            y: xy.y - 0.0855,
        });
        let asked = from.to_uv().distance(to.to_uv());
        let shown = rows.last().unwrap().colour_error;
        assert!((shown - asked).abs() < 1e-6, "{shown} {asked}");
        assert_eq!(rows[0].colour_error, 0.0);
    }

    /// What senses the current is off by as much as the current then is.
    #[test]
    fn an_error_of_the_sense_is_one_of_the_light() {
        let rows = analog(&one_channel(Analog {
            sense: 0.02,
            ..EXACT
        }));
        for row in &rows {
            assert!((row.light_error - 0.019).abs() < 1e-3, "{row:?}");
        }
    }

    /// Of two channels the one with half of the light is dark in a quarter of the units, and both take current.
    #[test]
    fn one_dark_channel_counts() {
        let mut two = one_channel(Analog {
            offset: 0.001,
            ..EXACT
        });
        two.channels.push(two.channels[0].clone());
        two.recipes[0].shares.push(0.5);
        let rows = analog(&two);
        let deepest = rows.last().unwrap();
        assert!((deepest.dark - 0.25).abs() < 0.05, "{deepest:?}");
        assert!((deepest.supply / 0.0015 - 1.0).abs() < 1e-9, "{deepest:?}");
        // Of the light of the recipe, not of all channels at full.
        assert!((deepest.given[1] / 0.001 - 1.0).abs() < 0.1, "{deepest:?}");
    }

    /// A channel that the recipe leaves out takes no offset.
    #[test]
    fn a_channel_without_a_share_stays_off() {
        let mut two = one_channel(Analog {
            offset: 0.001,
            ..EXACT
        });
        two.channels.push(two.channels[0].clone());
        two.recipes[0].shares.push(0.0);
        let highest = analog(&two).last().unwrap().given[2] / 0.001;
        assert!((highest - 1.95).abs() < 0.02, "{highest}");
    }

    /// A channel that tells its LEDs gives what those give: here half of the light at a thousandth of the current.
    #[test]
    fn leds_that_the_file_tells_are_taken() {
        let mut one = one_channel(EXACT);
        let xy = Xy { x: 0.4, y: 0.39 };
        let knot = |current, efficacy| Knot {
            current,
            efficacy,
            xy,
        };
        one.channels[0].over_current = OverCurrent::new(&[knot(0.001, 0.5), knot(1.0, 1.0)]).ok();
        let rows = analog(&one);
        let [full, deepest] = [rows[0], rows[rows.len() - 1]].map(|row| row.given[1] / row.light);
        assert!(
            (full - 1.0).abs() < 1e-9 && (deepest - 0.5).abs() < 1e-9,
            "{full} {deepest}"
        );
    }
}
