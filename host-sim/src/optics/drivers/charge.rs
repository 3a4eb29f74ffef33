//! What flows in a stretch of time.

use std::ops::AddAssign;

use super::watch::Watch;

/// Charge in seconds at full current: light's share, and what the driver drew from its supply.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Charge {
    pub(super) light: f64,
    pub(super) drawn: f64,
}

impl Charge {
    /// All that was drawn became light.
    pub(super) fn all(light: f64) -> Self {
        Self {
            light,
            drawn: light,
        }
    }
}

impl AddAssign for Charge {
    fn add_assign(&mut self, more: Self) {
        self.light += more.light;
        self.drawn += more.drawn;
    }
}

/// What a gate drives: the current of one channel, closed-form from change to change of the gate.
pub(super) trait Plant {
    /// The gate changes.
    fn switch(&mut self, on: bool);

    /// The gate stays for so many seconds. Corners of the curve, its end included, go to `watch`, times from now on.
    fn run<W: Watch>(&mut self, seconds: f64, watch: &mut W) -> Charge;
}

/// A plant whose edges' charges add up.
pub(super) trait Settling {
    /// Charge of light still to come, less the full current, if the gate stays for good; in seconds at full current.
    fn pending(&self) -> f64;

    /// As if the gate had always been so.
    fn settle(&mut self, on: bool);
}
