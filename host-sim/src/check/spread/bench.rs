//! A unit under a firmware: what light and colour it gives.

use milliglow::Level;

use super::super::colour::{channels, channels_at};
use crate::colour::{Uv, Xy};
use crate::description::{Description, Modulation};
use crate::metrics::chromaticity;
use crate::run::{Driven, From, Stand, Standing, ideal_light};

/// Figures of a unit at a place, all without sign.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Deviation {
    /// Flux against that of the design, relative.
    pub flux: f64,
    /// Light over the unit's own full light against the curve, relative.
    pub light: f64,
    /// Distance from the design's colour, delta u'v'.
    pub colour: f64,
    /// Distance from the unit's own colour at full light, delta u'v'.
    pub shift: f64,
    /// At a change of row: the light step beyond that of the curve, relative.
    pub light_step: f64,
    /// At a change of row: the step of colour, delta u'v'.
    pub colour_step: f64,
}

/// Where a luminaire changes a channel's row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Change {
    /// Index of the channel.
    pub channel: usize,
    /// Number of the row that it enters going up, or leaves going down.
    pub row: usize,
    /// The way.
    pub from: From,
}

/// A recipe of a firmware on a unit.
pub(super) struct Bench<'a> {
    design: &'a Description,
    recipe: usize,
    standing: Standing,
    driven: Vec<Driven>,
    channels: Vec<(Xy, f64)>,
    full: Vec<f64>,
}

impl<'a> Bench<'a> {
    /// Densities come from the `firmware`, light from the `unit`.
    pub(super) fn new(
        design: &'a Description,
        firmware: &Description,
        unit: &Description,
        recipe: usize,
    ) -> Self {
        let standing = Standing::new(firmware, recipe);
        let mut bench = Self {
            design,
            recipe,
            driven: driven(firmware, unit, &standing),
            standing,
            channels: channels(unit),
            full: Vec::new(),
        };
        let stands = bench.standing.at(Level::FULL, From::Below);
        bench.full = bench.lights(&stands);
        bench
    }

    /// Of each channel, over its full.
    fn lights(&self, stands: &[Stand]) -> Vec<f64> {
        let channels = self.driven.iter().zip(stands);
        channels
            .map(|(driven, stand)| driven.light(stand, false).max(0.0))
            .collect()
    }

    fn colour(&self, stands: &[Stand], lights: &[f64]) -> Option<Uv> {
        chromaticity(&channels_at(&self.channels, &self.driven, stands), lights)
    }

    fn flux(&self, lights: &[f64]) -> f64 {
        let channels = self.channels.iter().zip(lights);
        channels.map(|((_, flux), light)| flux * light).sum()
    }

    fn asked_flux(&self) -> f64 {
        let shares = &self.design.recipes[self.recipe].shares;
        let channels = self.design.channels.iter().zip(shares);
        channels
            .map(|(channel, share)| channel.flux_lm * share)
            .sum()
    }

    fn asked(&self, level: Level) -> f64 {
        ideal_light(self.design.curve, f64::from(level.to_bits()))
    }

    fn asked_colour(&self) -> Option<Uv> {
        chromaticity(
            &channels(self.design),
            &self.design.recipes[self.recipe].shares,
        )
    }

    /// At a Level.
    pub(super) fn at(&mut self, level: Level, from: From) -> Deviation {
        let stands = self.standing.at(level, from);
        let lights = self.lights(&stands);
        let (flux, full) = (self.flux(&lights), self.flux(&self.full));
        let asked = self.asked(level);
        let colour = self.colour(&stands, &lights);
        let away = |other: Option<Uv>| colour.zip(other).map_or(0.0, |(a, b)| a.distance(b));
        Deviation {
            flux: (flux / (asked * self.asked_flux()) - 1.0).abs(),
            light: (flux / full / asked - 1.0).abs(),
            colour: away(self.asked_colour()),
            shift: away(chromaticity(&self.channels, &self.full)),
            light_step: 0.0,
            colour_step: 0.0,
        }
    }

    /// Across a change of row; none where the recipe does not come to it.
    pub(super) fn across(&mut self, change: Change) -> Option<(Level, Deviation)> {
        let level = self.level_of(change)?;
        let below = Level::from_bits(level.to_bits() - 1);
        let stands = [below, level].map(|level| self.standing.at(level, change.from));
        let [before, after] = stands.each_ref().map(|stands| self.lights(stands));
        let rise = self.flux(&after) / self.flux(&before);
        let asked = self.asked(level) / self.asked(below);
        let [one, other] = [(&stands[0], &before), (&stands[1], &after)]
            .map(|(stands, lights)| self.colour(stands, lights));
        Some((
            level,
            Deviation {
                light_step: (rise / asked - 1.0).abs(),
                colour_step: one.zip(other).map_or(0.0, |(a, b)| a.distance(b)),
                ..self.at(level, change.from)
            },
        ))
    }

    /// The lowest Level at which the channel is in the row or above; none where it never is, or always.
    fn level_of(&mut self, change: Change) -> Option<Level> {
        let mut reaches = |bits: u32| {
            let level = Level::from_bits(bits as u16);
            self.standing.at(level, change.from)[change.channel].row >= change.row
        };
        let (mut below, mut at) = (1, u32::from(u16::MAX));
        if reaches(below) || !reaches(at) {
            return None;
        }
        while at - below > 1 {
            let middle = u32::midpoint(below, at);
            if reaches(middle) {
                at = middle;
            } else {
                below = middle;
            }
        }
        Some(Level::from_bits(at as u16))
    }
}

/// The unit's drivers, less what the firmware's modulators make up for themselves: those of first order have their correction in
/// the density.
fn driven(firmware: &Description, unit: &Description, standing: &Standing) -> Vec<Driven> {
    let mut all = Driven::all(unit);
    let channels = all.iter_mut().zip(standing.driven()).zip(&unit.channels);
    for ((driven, known), channel) in channels {
        if !firmware.operating.edge_correction || channel.modulation == Modulation::FirstOrder {
            continue;
        }
        let rows = driven.rows.iter_mut().zip(&known.rows);
        for ((row, known), &stretch) in rows.zip(&driven.stretches) {
            // Edges that take a whole decision are not made up for.
            if known.edge_loss.abs() < f64::from(stretch) {
                row.edge_loss -= known.edge_loss;
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::{Bench, Change, From, Level};
    use crate::check::one_channel::one_channel;
    use crate::description::OperatingRow;

    /// A Level is 0.01 % of light more than the one below: that is no step.
    #[test]
    fn the_step_of_the_curve_itself_does_not_count() {
        let mut one = one_channel();
        let low = OperatingRow {
            range_ratio: 8.0,
            ..OperatingRow::PLAIN
        };
        let high = OperatingRow {
            from_light: 0.05,
            ..OperatingRow::PLAIN
        };
        one.channels[0].rows = vec![low, high];
        let change = Change {
            channel: 0,
            row: 1,
            from: From::Below,
        };
        let (_, found) = Bench::new(&one, &one, &one, 0).across(change).unwrap();
        assert!(found.light_step < 5e-5, "{found:?}");
    }

    /// A unit of another colour is off the design's, and holds its own.
    #[test]
    fn a_unit_holds_its_own_colour() {
        let one = one_channel();
        let mut unit = one.clone();
        unit.channels[0].x -= 0.01;
        let found = Bench::new(&one, &one, &unit, 0).at(Level::FULL, From::Below);
        assert!(found.shift < 1e-12 && found.colour > 1e-3, "{found:?}");
    }
}
