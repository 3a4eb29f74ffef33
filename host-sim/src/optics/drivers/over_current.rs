//! Light and colour of an LED against its current.

use super::DriverError;
use super::error::within;
use crate::colour::Xy;

/// One knot of a table against current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Knot {
    /// Current over the full one, above 0, at most 10.
    pub current: f64,
    /// Efficacy over that at full current, above 0, at most 10.
    pub efficacy: f64,
    /// CIE 1931 chromaticity.
    pub xy: Xy,
}

/// Halvings of a current's range that leave rounding alone.
const HALVINGS: u32 = 60;

/// Efficacy and chromaticity between knots on straight lines, beyond them as at the last.
///
/// A stream at one set point has one current, so that light stays in proportion; a lower set point, and dimming by the
/// set point itself, move along the table.
#[derive(Clone, Debug, PartialEq)]
pub struct OverCurrent(Vec<Knot>);

impl OverCurrent {
    /// From knots in the order of their currents.
    ///
    /// # Errors
    /// [`DriverError::Knots`] for none, or currents that do not rise; [`DriverError::LightFalls`] for light that does not rise
    /// with the current; [`DriverError::Figure`] for one out of range.
    pub fn new(knots: &[Knot]) -> Result<Self, DriverError> {
        for knot in knots {
            within("current of a knot", knot.current, f64::MIN_POSITIVE, 10.0)?;
            within("efficacy of a knot", knot.efficacy, f64::MIN_POSITIVE, 10.0)?;
            within("x of a knot", knot.xy.x, 0.0, 1.0)?;
            within("y of a knot", knot.xy.y, f64::MIN_POSITIVE, 1.0)?;
        }
        let rise = knots
            .windows(2)
            .all(|pair| pair[0].current < pair[1].current);
        if knots.is_empty() || !rise {
            return Err(DriverError::Knots);
        }
        let falls = knots.windows(2).find(|pair| light_falls(pair[0], pair[1]));
        if let Some([below, above]) = falls {
            return Err(DriverError::LightFalls {
                from: below.current,
                to: above.current,
            });
        }
        Ok(Self(knots.to_vec()))
    }

    /// Its knots, in the order of their currents.
    #[must_use]
    pub fn knots(&self) -> &[Knot] {
        &self.0
    }

    /// The same LED with a chromaticity that lies elsewhere, by as much at every current.
    #[must_use]
    pub fn moved(&self, x: f64, y: f64) -> Self {
        let moved = |knot: &Knot| Knot {
            xy: Xy {
                x: knot.xy.x + x,
                y: knot.xy.y + y,
            },
            ..*knot
        };
        Self(self.0.iter().map(moved).collect())
    }

    /// Efficacy at a current, both over those at full current.
    #[must_use]
    pub fn efficacy(&self, current: f64) -> f64 {
        self.between(current, |knot| knot.efficacy)
    }

    /// Light of a current, both over the full ones.
    #[must_use]
    pub fn light(&self, current: f64) -> f64 {
        current * self.efficacy(current) / self.efficacy(1.0)
    }

    /// The current, 0 to 10, that gives a light, both over the full ones; light rises with the current. Exact to 1e-14.
    #[must_use]
    pub fn current(&self, light: f64) -> f64 {
        let (mut below, mut above) = (0.0, 10.0);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(below, above);
            if self.light(middle) < light {
                below = middle;
            } else {
                above = middle;
            }
        }
        f64::midpoint(below, above)
    }

    /// Chromaticity at a current over the full one.
    #[must_use]
    pub fn xy(&self, current: f64) -> Xy {
        Xy {
            x: self.between(current, |knot| knot.xy.x),
            y: self.between(current, |knot| knot.xy.y),
        }
    }

    fn between(&self, current: f64, value: impl Fn(&Knot) -> f64) -> f64 {
        let above = self.0.partition_point(|knot| knot.current <= current);
        match (self.0.get(above.wrapping_sub(1)), self.0.get(above)) {
            (Some(below), Some(next)) => {
                let part = (current - below.current) / (next.current - below.current);
                value(below) + part * (value(next) - value(below))
            }
            (Some(only), None) | (None, Some(only)) => value(only),
            // No table is without knots.
            (None, None) => 1.0,
        }
    }
}

/// Whether light falls anywhere between two knots: current x efficacy is a parabola there, whose slope goes straight.
fn light_falls(below: Knot, above: Knot) -> bool {
    let slope = (above.efficacy - below.efficacy) / (above.current - below.current);
    [below, above]
        .iter()
        .any(|knot| knot.efficacy + knot.current * slope <= 0.0)
}
