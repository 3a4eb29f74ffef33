//! A switch across the string: the inductor's current goes on beside it.

use super::DriverError;
use super::charge::{Charge, Plant};
use super::error::{duration, within};
use super::watch::Watch;

/// Figures of a shunted string.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ShuntFigures {
    /// Commutation from the switch to the string, 0 to 1 s.
    pub rise_s: f64,
    /// Commutation from the string to the switch, 0 to 1 s.
    pub fall_s: f64,
    /// From a rising stream to the begin of the rise, 0 to 1 s.
    pub turn_on_delay_s: f64,
    /// From a falling stream to the begin of the fall, 0 to 1 s.
    pub turn_off_delay_s: f64,
    /// Part of the current that is missing when the string comes back, 0 to 1.
    pub sag: f64,
    /// Time constant of the recovery in seconds, above 0 if there is a sag, at most 1 s.
    pub recovery_s: f64,
    /// Relative change of the current over the relative change of the supply, -10 to 10.
    pub line_sensitivity: f64,
}

/// A shunted string whose figures are possible.
///
/// *Model*, our own: the converter holds its current through the dark; when the switch opens, the string's voltage comes
/// back at once and takes a part of the current, the sag, which recovers exponentially, in light and dark. A turn-on
/// before it has recovered begins at the same sag. The string gets that current times a straight commutation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shunt(ShuntFigures);

impl Shunt {
    /// With these figures.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for one that is not finite or out of range.
    pub fn new(figures: ShuntFigures) -> Result<Self, DriverError> {
        duration("rise", figures.rise_s)?;
        duration("fall", figures.fall_s)?;
        duration("turn-on delay", figures.turn_on_delay_s)?;
        duration("turn-off delay", figures.turn_off_delay_s)?;
        within("sag", figures.sag, 0.0, 1.0)?;
        let least = if figures.sag > 0.0 { 1e-12 } else { 0.0 };
        within("recovery", figures.recovery_s, least, 1.0)?;
        within("line sensitivity", figures.line_sensitivity, -10.0, 10.0)?;
        Ok(Self(figures))
    }

    /// Its figures.
    #[must_use]
    pub fn figures(&self) -> ShuntFigures {
        self.0
    }
}

/// The current of a shunted string.
#[derive(Clone, Debug)]
pub(super) struct ShuntPlant {
    figures: ShuntFigures,
    on: bool,
    /// Part of the current that the string has, 0 to 1.
    commutated: f64,
    /// Part of the current that is missing.
    missing: f64,
}

impl ShuntPlant {
    pub(super) fn new(shunt: &Shunt) -> Self {
        Self {
            figures: shunt.0,
            on: false,
            commutated: 0.0,
            missing: 0.0,
        }
    }

    /// Part of the sag that is left after so many seconds.
    fn left(&self, seconds: f64) -> f64 {
        if self.missing > 0.0 {
            (-seconds / self.figures.recovery_s).exp()
        } else {
            1.0
        }
    }

    /// A straight piece of the commutation, the sag recovering below it.
    fn piece<W: Watch>(&mut self, end: f64, seconds: f64, after: f64, watch: &mut W) -> f64 {
        let (begin, missing, recovery_s) = (self.commutated, self.missing, self.figures.recovery_s);
        let left = self.left(seconds);
        if W::SEES {
            let pieces = if missing > 0.0 { SHOWN } else { 1 };
            for piece in 0..=pieces {
                let part = f64::from(piece) / f64::from(pieces);
                let current = 1.0 - missing * self.left(part * seconds);
                watch.see(
                    after + part * seconds,
                    current * (begin + part * (end - begin)),
                );
            }
        }
        self.commutated = end;
        self.missing = missing * left;
        let whole = (begin + end) / 2.0 * seconds;
        if missing == 0.0 || seconds == 0.0 {
            return whole;
        }
        // The integral of (begin + slope t) exp(-t / recovery), by parts.
        let slope = (end - begin) / seconds * recovery_s;
        whole - missing * recovery_s * ((begin + slope) * (1.0 - left) - (end - begin) * left)
    }
}

/// Straight lines that draw one stretch of a recovery.
const SHOWN: u32 = 24;

impl Plant for ShuntPlant {
    fn switch(&mut self, on: bool) {
        if on && !self.on {
            self.missing = self.figures.sag;
        }
        self.on = on;
    }

    #[inline]
    fn run<W: Watch>(&mut self, seconds: f64, watch: &mut W) -> Charge {
        let (aim, whole_s) = if self.on {
            (1.0, self.figures.rise_s)
        } else {
            (0.0, self.figures.fall_s)
        };
        let way = aim - self.commutated;
        let ramp_s = way.abs() * whole_s;
        if ramp_s > seconds {
            let end = self.commutated + way * (seconds / ramp_s);
            return Charge::all(self.piece(end, seconds, 0.0, watch));
        }
        let mut light = 0.0;
        if ramp_s > 0.0 {
            light = self.piece(aim, ramp_s, 0.0, watch);
        }
        self.commutated = aim;
        Charge::all(light + self.piece(aim, seconds - ramp_s, ramp_s, watch))
    }
}
