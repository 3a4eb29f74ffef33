//! A unit of a series, drawn from the declared tolerances.

use std::f64::consts::TAU;

use rand::RngExt;
use rand_pcg::Pcg32;

use crate::colour::{Uv, Xy};
use crate::description::{Channel, Description};
use crate::optics::drivers::{Buck, Driver, Exponential, Shunt, Slew};
use crate::run::SetPoint;

/// A luminaire as it came off the line: the same number gives the same unit, whatever was drawn before. Every figure is spread
/// evenly between its tolerances, a chromaticity evenly over its circle: what passes an incoming inspection, no bell curve.
pub(super) fn draw(design: &Description, number: u64) -> Description {
    let mut dice = Dice(Pcg32::new(design.seed.into(), number));
    let mut unit = design.clone();
    let tick_hz = f64::from(design.tick_hz) * dice.factor(design.tick_tolerance);
    unit.tick_hz = tick_hz.round() as u32;
    for channel in &mut unit.channels {
        dice.channel(design, channel);
    }
    unit
}

struct Dice(Pcg32);

impl Dice {
    /// 1, give or take a tolerance.
    fn factor(&mut self, tolerance: f64) -> f64 {
        1.0 + tolerance * self.0.random_range(-1.0..=1.0)
    }

    fn channel(&mut self, design: &Description, channel: &mut Channel) {
        let spread = design.spread;
        channel.flux_lm *= self.factor(spread.flux);
        let (x, y) = self.chromaticity(channel, spread.chromaticity_uv);
        let (right, up) = (x - channel.x, y - channel.y);
        let set_points = channel.rows.iter().map(|row| SetPoint::of(channel, row));
        let lights: Vec<_> = set_points.map(|set_point| set_point.light).collect();
        let led = channel.over_current.as_ref();
        channel.over_current = led.map(|led| led.moved(right, up));
        (channel.x, channel.y) = (x, y);
        let edges =
            Edges([spread.rise, spread.fall, spread.delay, spread.delay].map(|of| self.factor(of)));
        // A driver that would be impossible stays as designed: only a buck's delay can come beyond its off-time.
        channel.driver = edges.of(&channel.driver).unwrap_or(channel.driver);
        self.ratios(channel, &lights, spread.range_ratio);
    }

    fn chromaticity(&mut self, channel: &Channel, radius: f64) -> (f64, f64) {
        let angle = self.0.random_range(0.0..TAU);
        let distance = radius * self.0.random_range(0.0_f64..=1.0).sqrt();
        let uv = Xy {
            x: channel.x,
            y: channel.y,
        }
        .to_uv();
        let moved = Uv {
            u: uv.u + distance * angle.cos(),
            v: uv.v + distance * angle.sin(),
        };
        let xy = moved.to_xy();
        (xy.x, xy.y)
    }

    /// Rows of one set point share its ratio; the highest set point is what others are told of. The unit's own ratio is that
    /// of its light.
    fn ratios(&mut self, channel: &mut Channel, lights: &[f64], tolerance: f64) {
        let mut drawn: Vec<(f64, f64)> = Vec::new();
        for (row, light) in channel.rows.iter_mut().zip(lights) {
            row.current_ratio = None;
            let designed = light.recip();
            if designed == 1.0 {
                continue;
            }
            let known = drawn.iter().find(|(ratio, _)| *ratio == designed);
            row.range_ratio = known.map_or_else(
                || (designed * self.factor(tolerance)).max(1.0),
                |(_, drawn)| *drawn,
            );
            drawn.push((designed, row.range_ratio));
        }
    }
}

/// Factors of a driver's times: rise, fall, turn-on delay and turn-off delay.
struct Edges([f64; 4]);

impl Edges {
    fn of(&self, driver: &Driver) -> Option<Driver> {
        match driver {
            Driver::Ideal => Some(*driver),
            Driver::Slew(slew) => {
                let mut its = slew.figures();
                let delays = (&mut its.turn_on_delay_s, &mut its.turn_off_delay_s);
                self.scale([&mut its.rise_s, &mut its.fall_s, delays.0, delays.1]);
                Slew::new(its).ok().map(Driver::Slew)
            }
            Driver::Exponential(edges) => {
                let mut its = edges.figures();
                let delays = (&mut its.turn_on_delay_s, &mut its.turn_off_delay_s);
                let constants = (&mut its.rise_constant_s, &mut its.fall_constant_s);
                self.scale([constants.0, constants.1, delays.0, delays.1]);
                Exponential::new(its).ok().map(Driver::Exponential)
            }
            Driver::Shunt(shunt) => {
                let mut its = shunt.figures();
                let delays = (&mut its.turn_on_delay_s, &mut its.turn_off_delay_s);
                self.scale([&mut its.rise_s, &mut its.fall_s, delays.0, delays.1]);
                Shunt::new(its).ok().map(Driver::Shunt)
            }
            Driver::Buck(buck) => {
                let mut its = buck.figures();
                its.delay_s *= self.0[2];
                Buck::new(its).ok().map(Driver::Buck)
            }
        }
    }

    fn scale(&self, times: [&mut f64; 4]) {
        for (time, factor) in times.into_iter().zip(self.0) {
            *time *= factor;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::draw;
    use crate::check::one_channel::buck;
    use crate::colour::Xy;
    use crate::description::{BUILT_IN, Description, OperatingRow, parse};
    use crate::optics::drivers::{
        Driver, Exponential, ExponentialFigures, Knot, OverCurrent, Shunt, ShuntFigures, Slew,
        SlewFigures,
    };

    fn design() -> Description {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        cove.tick_hz = 5_000_000;
        let figures = SlewFigures {
            rise_s: 60e-9,
            fall_s: 20e-9,
            turn_on_delay_s: 10e-9,
            turn_off_delay_s: 5e-9,
            ..SlewFigures::default()
        };
        for channel in &mut cove.channels {
            channel.driver = Driver::Slew(Slew::new(figures).unwrap());
            channel.rows = vec![
                OperatingRow {
                    range_ratio: 10.0,
                    ..OperatingRow::PLAIN
                },
                OperatingRow {
                    from_light: 0.01,
                    range_ratio: 10.0,
                    stretch: 2,
                    ..OperatingRow::PLAIN
                },
                OperatingRow {
                    from_light: 0.05,
                    ..OperatingRow::PLAIN
                },
            ];
        }
        cove
    }

    fn figures(unit: &Description) -> SlewFigures {
        match &unit.channels[0].driver {
            Driver::Slew(slew) => slew.figures(),
            other => panic!("{other:?}"),
        }
    }

    /// Every figure reaches both halves of its tolerance in 300 units, and never leaves it.
    #[test]
    fn units_fill_the_tolerances_and_stay_within() {
        let design = design();
        type Of = fn(&Description) -> f64;
        let of: [(f64, Of); 6] = [
            (0.01, |unit| f64::from(unit.tick_hz) / 5e6),
            (0.05, |unit| unit.channels[0].flux_lm / 180.0),
            (0.2, |unit| figures(unit).rise_s / 60e-9),
            (0.2, |unit| figures(unit).fall_s / 20e-9),
            (0.2, |unit| figures(unit).turn_off_delay_s / 5e-9),
            (0.02, |unit| unit.channels[0].rows[0].range_ratio / 10.0),
        ];
        let units: Vec<_> = (0..300).map(|number| draw(&design, number)).collect();
        for (tolerance, figure) in of {
            let drawn = || units.iter().map(|unit| (figure(unit) - 1.0) / tolerance);
            assert!(drawn().all(|part| part.abs() <= 1.0 + 1e-6));
            let (least, most) = (drawn().fold(0.0, f64::min), drawn().fold(0.0, f64::max));
            assert!(least < -0.95 && most > 0.95, "{least} {most}");
        }
        let uv = |unit: &Description| {
            let channel = &unit.channels[0];
            Xy {
                x: channel.x,
                y: channel.y,
            }
            .to_uv()
        };
        let away = units.iter().map(|unit| uv(unit).distance(uv(&design)));
        let away: Vec<f64> = away.collect();
        let furthest = away.iter().copied().fold(0.0, f64::max);
        assert!((0.0019..0.002 + 1e-9).contains(&furthest), "{furthest}");
        // Evenly over a circle: two thirds of its radius away in the mean.
        let mean = away.iter().sum::<f64>() / 300.0 / 0.002;
        assert!((0.62..0.71).contains(&mean), "{mean}");
    }

    #[test]
    fn a_unit_depends_on_its_number_alone() {
        let design = design();
        assert_eq!(draw(&design, 7), draw(&design, 7));
        assert_ne!(draw(&design, 7), draw(&design, 8));
        let unit = draw(&design, 7);
        assert_eq!(
            unit.channels[0].rows[0].range_ratio,
            unit.channels[0].rows[1].range_ratio
        );
        assert_ne!(
            unit.channels[0].rows[0].range_ratio,
            unit.channels[1].rows[0].range_ratio
        );
    }

    #[test]
    fn rise_and_fall_are_drawn_by_themselves_and_an_led_moves_at_every_current() {
        let mut design = design();
        let led = &mut design.channels[0];
        let xy = Xy { x: led.x, y: led.y };
        let knot = Knot {
            current: 1.0,
            efficacy: 1.0,
            xy,
        };
        led.over_current = OverCurrent::new(&[knot]).ok();
        let unit = draw(&design, 3);
        let edges = figures(&unit);
        assert!((edges.rise_s / 60e-9 - edges.fall_s / 20e-9).abs() > 1e-3);
        let led = &unit.channels[0];
        let moved = led.over_current.as_ref().unwrap().xy(0.5);
        assert!((moved.x - led.x).abs() < 1e-12 && moved != xy, "{moved:?}");
    }

    /// Of every kind of driver each time is drawn by itself; of a buck the delay.
    #[test]
    fn every_kind_of_driver_is_drawn() {
        const TIMES: [f64; 4] = [60e-9, 20e-9, 10e-9, 5e-9];
        let [rise, fall, turn_on_delay_s, turn_off_delay_s] = TIMES;
        let exponential = ExponentialFigures {
            rise_constant_s: rise,
            fall_constant_s: fall,
            turn_on_delay_s,
            turn_off_delay_s,
            line_sensitivity: 0.0,
        };
        let shunt = ShuntFigures {
            rise_s: rise,
            fall_s: fall,
            turn_on_delay_s,
            turn_off_delay_s,
            sag: 0.0,
            recovery_s: 0.0,
            line_sensitivity: 0.0,
        };
        for driver in [
            Driver::Exponential(Exponential::new(exponential).unwrap()),
            Driver::Shunt(Shunt::new(shunt).unwrap()),
        ] {
            let mut design = design();
            design.channels[0].driver = driver;
            let drawn = match draw(&design, 5).channels[0].driver {
                Driver::Exponential(edges) => {
                    let its = edges.figures();
                    let constants = [its.rise_constant_s, its.fall_constant_s];
                    [constants, [its.turn_on_delay_s, its.turn_off_delay_s]]
                }
                Driver::Shunt(shunt) => {
                    let its = shunt.figures();
                    let delays = [its.turn_on_delay_s, its.turn_off_delay_s];
                    [[its.rise_s, its.fall_s], delays]
                }
                other => panic!("{other:?}"),
            };
            let mut factors: Vec<f64> = drawn.concat();
            let designed = factors.iter_mut().zip(TIMES);
            designed.for_each(|(drawn, time)| *drawn /= time);
            factors.sort_by(f64::total_cmp);
            assert!(
                factors.windows(2).all(|two| two[1] - two[0] > 1e-3),
                "{factors:?}"
            );
            assert!(factors[0] >= 0.8 && factors[3] <= 1.2 && !factors.contains(&1.0));
        }
        let mut design = design();
        design.channels[0].driver = buck(100e-9);
        let Driver::Buck(drawn) = draw(&design, 5).channels[0].driver else {
            panic!("no buck");
        };
        let factor = drawn.figures().delay_s / 100e-9;
        assert!(
            (0.8..=1.2).contains(&factor) && (factor - 1.0).abs() > 1e-3,
            "{factor}"
        );
    }

    /// A lower set point is never above the highest, and a unit is told by the ratio of its light alone.
    #[test]
    fn ratios_are_of_light_and_at_least_one() {
        let mut design = design();
        for row in &mut design.channels[0].rows {
            row.current_ratio = (row.range_ratio > 1.0).then_some(1.01);
        }
        for number in 0..100 {
            let unit = draw(&design, number);
            for row in &unit.channels[0].rows {
                assert!(
                    row.current_ratio.is_none() && (1.0..1.04).contains(&row.range_ratio),
                    "{row:?}"
                );
            }
        }
    }
}
