//! A driver that is its stream.

use super::charge::{Charge, Plant, Settling};
use super::watch::Watch;

/// The current is the gate.
#[derive(Clone, Debug, Default)]
pub(super) struct IdealPlant {
    on: bool,
}

impl Plant for IdealPlant {
    fn switch(&mut self, on: bool) {
        self.on = on;
    }

    #[inline]
    fn run<W: Watch>(&mut self, seconds: f64, watch: &mut W) -> Charge {
        let current = f64::from(u8::from(self.on));
        watch.see(0.0, current);
        watch.see(seconds, current);
        Charge::all(current * seconds)
    }
}

impl Settling for IdealPlant {
    fn pending(&self) -> f64 {
        0.0
    }

    fn settle(&mut self, on: bool) {
        self.on = on;
    }
}
