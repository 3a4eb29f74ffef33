//! Lights at which trouble may hide: densities close to a simple fraction, whose streams nearly repeat after a few ticks and
//! beat slowly, and the ends of the range.

use milliglow::Level;

use super::super::pulse_survey::has_closed_form;
use crate::description::{Channel, Description, LevelChoice, Modulation, Recipe};
use crate::run::{ideal_light, level, steady_levels};

/// Fractions of every ratio of whole numbers up to this.
const LARGEST: u32 = 4;

/// The lowest and the full Level, and the ones beside them.
pub(super) fn lowest_and_full(description: &Description) -> [Level; 4] {
    let lowest = lowest(description);
    let above = Level::from_bits(lowest.to_bits().saturating_add(1));
    [lowest, above, Level::from_bits(u16::MAX - 1), Level::FULL]
}

/// The Levels on both sides of where a channel's density is a simple fraction: of every channel, or of those whose lines must
/// be recorded.
pub(super) fn near_fractions(description: &Description, recipe: usize) -> Vec<Level> {
    let all = has_closed_form(description);
    let looked_at = |channel: &Channel| all || channel.modulation != Modulation::FirstOrder;
    let channels = (0..description.channels.len()).filter(|&k| looked_at(&description.channels[k]));
    let recipe = &description.recipes[recipe];
    let lights: Vec<f64> = if recipe.follows_level() {
        channels
            .flat_map(|channel| crossings(description, recipe, channel))
            .collect()
    } else {
        let shares = channels.map(|channel| recipe.shares[channel]);
        shares
            .filter(|share| *share > 0.0)
            .flat_map(|share| fractions().map(move |fraction| fraction / share))
            .collect()
    };
    let lit = description.requirements.lowest_light..1.0;
    lights
        .into_iter()
        .filter(|light| lit.contains(light))
        .flat_map(|light| beside(description, light))
        .collect()
}

/// The lights at which a channel of a recipe that follows the Level crosses a simple fraction.
fn crossings(description: &Description, recipe: &Recipe, channel: usize) -> Vec<f64> {
    let light = |level: Level| ideal_light(description.curve, f64::from(level.to_bits()));
    let given = |level: Level| {
        let shares = recipe.shares_at(f64::from(level.to_bits()));
        shares[channel] * light(level)
    };
    let next = |level: Level| Level::from_bits(level.to_bits().saturating_add(1));
    let crosses = |level: &Level| {
        let (here, there) = (given(*level), given(next(*level)));
        fractions().any(|fraction| (here > fraction) != (there > fraction))
    };
    steady_levels(description)
        .filter(crosses)
        .map(light)
        .collect()
}

/// The Level just below a light, and the next.
fn beside(description: &Description, light: f64) -> [Level; 2] {
    let below = level(description, LevelChoice::Light(light));
    [below, Level::from_bits(below.to_bits().saturating_add(1))]
        .map(|level| level.max(lowest(description)))
}

fn lowest(description: &Description) -> Level {
    let lowest = LevelChoice::Light(description.requirements.lowest_light);
    level(description, lowest).max(Level::from_bits(1))
}

/// In lowest terms, so that none comes twice.
fn fractions() -> impl Iterator<Item = f64> {
    let proper = |q: u32| {
        (1..q)
            .filter(move |&p| is_lowest(p, q))
            .map(move |p| (p, q))
    };
    (2..=LARGEST)
        .flat_map(proper)
        .map(|(p, q)| f64::from(p) / f64::from(q))
}

fn is_lowest(p: u32, q: u32) -> bool {
    !(2..=p).any(|d| p.is_multiple_of(d) && q.is_multiple_of(d))
}

#[cfg(test)]
mod tests {
    use super::{fractions, near_fractions};
    use crate::description::{BUILT_IN, parse};
    use crate::run::core_curve;

    #[test]
    fn fractions_come_once() {
        let found: Vec<f64> = fractions().collect();
        assert_eq!(found, [0.5, 1.0 / 3.0, 2.0 / 3.0, 0.25, 0.75]);
    }

    /// Every pair of Levels holds a light at which some channel is at a fraction.
    #[test]
    fn levels_lie_on_both_sides_of_a_fraction() {
        let cove = parse(BUILT_IN, "built in").unwrap();
        let curve = core_curve(cove.curve);
        let levels = near_fractions(&cove, 0);
        assert!(levels.len() >= 10);
        for pair in levels.chunks(2) {
            let [below, above] = [pair[0], pair[1]].map(|level| curve.light(level).as_f64());
            let between = |light: f64| below <= light + 1e-9 && light <= above;
            let shares = &cove.recipes[0].shares;
            let hit = shares
                .iter()
                .any(|share| fractions().any(|fraction| between(fraction / share)));
            assert!(hit, "{below} {above}");
        }
    }
}
