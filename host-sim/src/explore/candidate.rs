//! One combination of what may vary, and the luminaire that it makes.

use crate::description::{Description, Modulation, OperatingRow};
use crate::optics::drivers::{Driver, Exponential, Gated, Shunt, Slew};

/// A lower current range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LowerRange {
    /// Full light of a channel over that of the range, above 1.
    pub ratio: f64,
    /// Channel light in per cent below which the range is used.
    pub below_percent: f64,
}

/// Decisions of several ticks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretched {
    /// Ticks a decision: 2, 4, 8 or 16.
    pub ticks: u8,
    /// Channel light in per cent from which decisions last so long.
    pub from_percent: f64,
}

/// What is varied; the same for all channels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Ticks a second.
    pub tick_hz: u32,
    /// How densities become streams.
    pub modulation: Modulation,
    /// Factor on the drivers' rise and fall times.
    pub edge_factor: f64,
    /// A second, lower set point of each driver.
    pub lower_range: Option<LowerRange>,
    /// Longer decisions in the upper part of the light.
    pub stretched: Option<Stretched>,
}

impl Candidate {
    /// The luminaire with this candidate's values.
    #[must_use]
    pub fn described(&self, luminaire: &Description) -> Description {
        let mut described = luminaire.clone();
        described.tick_hz = self.tick_hz;
        let rows = self.rows();
        for channel in &mut described.channels {
            channel.modulation = self.modulation;
            channel.rows.clone_from(&rows);
            channel.driver = scaled(&channel.driver, self.edge_factor);
        }
        described
    }

    /// The operating table: a row for each light from which range or stretch differ.
    #[must_use]
    pub fn rows(&self) -> Vec<OperatingRow> {
        let change = self.lower_range.map(|range| range.below_percent);
        let stretch = self.stretched.map(|stretched| stretched.from_percent);
        let mut begins: Vec<f64> = [Some(0.0), change, stretch].into_iter().flatten().collect();
        begins.sort_by(f64::total_cmp);
        begins.dedup();
        begins
            .into_iter()
            .map(|percent| self.row(percent))
            .collect()
    }

    fn row(&self, percent: f64) -> OperatingRow {
        let lower = self
            .lower_range
            .filter(|range| percent < range.below_percent);
        let stretched = self.stretched.filter(|row| percent >= row.from_percent);
        OperatingRow {
            from_light: percent / 100.0,
            range_ratio: lower.map_or(1.0, |range| range.ratio),
            stretch: stretched.map_or(1, |row| row.ticks),
            ..OperatingRow::PLAIN
        }
    }

    /// Whether only the stretch differs.
    pub(super) fn differs_by_stretch(&self, other: &Self) -> bool {
        let stretched = self.stretched;
        *self
            == Self {
                stretched,
                ..*other
            }
    }
}

/// The driver with its rise and fall times scaled; those without such times as they are.
fn scaled(driver: &Driver, factor: f64) -> Driver {
    let by = |seconds: &mut f64| *seconds = (*seconds * factor).min(1.0);
    match driver {
        Driver::Slew(slew) => {
            let mut figures = slew.figures();
            by(&mut figures.rise_s);
            by(&mut figures.fall_s);
            Slew::new(figures).map_or_else(|_| *driver, Driver::Slew)
        }
        Driver::Exponential(edges) => {
            let mut figures = edges.figures();
            by(&mut figures.rise_constant_s);
            by(&mut figures.fall_constant_s);
            Exponential::new(figures).map_or_else(|_| *driver, Driver::Exponential)
        }
        Driver::Shunt(shunt) => {
            let mut figures = shunt.figures();
            by(&mut figures.rise_s);
            by(&mut figures.fall_s);
            Shunt::new(figures).map_or_else(|_| *driver, Driver::Shunt)
        }
        Driver::Ideal | Driver::Buck(_) => *driver,
    }
}

/// Whether a driver has rise and fall times to scale.
pub(super) fn has_edges(driver: &Driver) -> bool {
    scaled(driver, 0.5) != *driver
}

/// Whether every pulse lets every driver reach its full current.
pub(super) fn is_possible(description: &Description) -> bool {
    let tick_s = 1.0 / f64::from(description.tick_hz);
    description.channels.iter().all(|channel| {
        let mut rows = channel.rows.iter();
        rows.all(|row| Gated::new(&channel.driver, tick_s, row.stretch.into()).is_ok())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::drivers::ExponentialFigures;

    const PLAIN: Candidate = Candidate {
        tick_hz: 1_000_000,
        modulation: Modulation::FirstOrder,
        edge_factor: 1.0,
        lower_range: None,
        stretched: None,
    };

    fn rows(below_percent: f64, from_percent: f64) -> Vec<(f64, f64, u8)> {
        let candidate = Candidate {
            lower_range: Some(LowerRange {
                ratio: 16.0,
                below_percent,
            }),
            stretched: Some(Stretched {
                ticks: 4,
                from_percent,
            }),
            ..PLAIN
        };
        let rows = candidate.rows().into_iter();
        rows.map(|row| (row.from_light, row.range_ratio, row.stretch))
            .collect()
    }

    #[test]
    fn rows_change_range_and_stretch_where_they_are_told() {
        assert_eq!(PLAIN.rows(), [OperatingRow::PLAIN]);
        assert_eq!(
            rows(5.0, 20.0),
            [(0.0, 16.0, 1), (0.05, 1.0, 1), (0.2, 1.0, 4)]
        );
        assert_eq!(
            rows(5.0, 2.0),
            [(0.0, 16.0, 1), (0.02, 16.0, 4), (0.05, 1.0, 4)]
        );
        assert_eq!(rows(5.0, 5.0), [(0.0, 16.0, 1), (0.05, 1.0, 4)]);
    }

    #[test]
    fn rise_and_fall_of_every_driver_are_scaled() {
        let exponential = ExponentialFigures {
            rise_constant_s: 40e-9,
            fall_constant_s: 20e-9,
            ..ExponentialFigures::default()
        };
        let driver = Driver::Exponential(Exponential::new(exponential).unwrap());
        let Driver::Exponential(edges) = scaled(&driver, 0.5) else {
            panic!("{driver:?}");
        };
        let its = edges.figures();
        assert_eq!((its.rise_constant_s, its.fall_constant_s), (20e-9, 10e-9));
        assert!(has_edges(&driver) && !has_edges(&Driver::Ideal));
    }
}
