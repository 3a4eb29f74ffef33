//! A supply that does not stand still, and what of it reaches the light.

use std::f64::consts::PI;

use super::DriverError;
use super::error::within;

/// What a supply's voltage does around its mean.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SupplyFigures {
    /// Ripple of rectified mains.
    pub ripple: Option<Ripple>,
    /// Burst operation at little load.
    pub burst: Option<Burst>,
}

/// Ripple of rectified mains: a steady part and a rectified sine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ripple {
    /// Twice the mains frequency in Hz: 100 or 120; 1 to 10 000.
    pub hz: f64,
    /// Highest less lowest voltage over the highest, 0 to 1: 1 is rectified mains without a store.
    pub depth: f64,
}

/// Burst operation: below a load the supply charges its output at once and lets it run down, over and over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Burst {
    /// Load over full load below which it bursts, 0 to 1.
    pub below_load: f64,
    /// Bursts a second, 1 to 1 000 000.
    pub hz: f64,
    /// Highest less lowest voltage over the mean, 0 to 1: a sawtooth.
    pub depth: f64,
}

/// A supply whose figures are possible.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Supply(SupplyFigures);

impl Supply {
    /// With these figures.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for one that is not finite or out of range.
    pub fn new(figures: SupplyFigures) -> Result<Self, DriverError> {
        if let Some(ripple) = figures.ripple {
            within("ripple frequency", ripple.hz, 1.0, 1e4)?;
            within("ripple depth", ripple.depth, 0.0, 1.0)?;
        }
        if let Some(burst) = figures.burst {
            within("burst load", burst.below_load, 0.0, 1.0)?;
            within("burst frequency", burst.hz, 1.0, 1e6)?;
            within("burst depth", burst.depth, 0.0, 1.0)?;
        }
        Ok(Self(figures))
    }

    /// Its figures.
    #[must_use]
    pub fn figures(&self) -> SupplyFigures {
        self.0
    }

    /// What the light is multiplied by, on the mean from `begin_s` to `end_s`: `1 + line sensitivity x (voltage / mean
    /// voltage - 1)`, the voltage integrated in closed form. `load` is the light over the full one.
    ///
    /// Over a tick within 1e-9 of the integral of the product with an even current; the mean over whole periods is 1.
    #[must_use]
    pub fn factor(&self, line_sensitivity: f64, load: f64, begin_s: f64, end_s: f64) -> f64 {
        let seconds = end_s - begin_s;
        if line_sensitivity == 0.0 || seconds <= 0.0 {
            return 1.0;
        }
        let mut over = 0.0;
        if let Some(ripple) = self.0.ripple {
            over += ripple.over_mean(end_s) - ripple.over_mean(begin_s);
        }
        if let Some(burst) = self.0.burst.filter(|burst| load < burst.below_load) {
            over += burst.over_mean(end_s) - burst.over_mean(begin_s);
        }
        1.0 + line_sensitivity * over / seconds
    }
}

impl Ripple {
    /// Integral from 0 of the voltage over its mean, less 1.
    fn over_mean(&self, seconds: f64) -> f64 {
        const MEAN: f64 = 2.0 / PI;
        let periods = seconds * self.hz;
        let within = periods - periods.floor();
        // A period's arc gives 2 / pi; of this one the part so far.
        let arc = (1.0 - (PI * within).cos()) / PI - MEAN * within;
        self.depth * arc / self.hz / (1.0 - self.depth + self.depth * MEAN)
    }
}

impl Burst {
    /// Integral from 0 of the voltage over its mean, less 1: from + depth / 2 down to - depth / 2 in each period.
    fn over_mean(&self, seconds: f64) -> f64 {
        let periods = seconds * self.hz;
        let within = periods - periods.floor();
        self.depth * within * (1.0 - within) / 2.0 / self.hz
    }
}
