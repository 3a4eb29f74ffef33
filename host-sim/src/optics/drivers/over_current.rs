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
    /// [`DriverError::Knots`] for none, or currents that do not rise; [`DriverError::Figure`] for one out of range.
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
        Ok(Self(knots.to_vec()))
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
