//! The plant of whichever driver.

use super::Driver;
use super::buck::BuckPlant;
use super::charge::{Charge, Plant, Settling};
use super::exponential::ExponentialPlant;
use super::ideal::IdealPlant;
use super::shunt::ShuntPlant;
use super::slew::SlewPlant;
use super::watch::Watch;

/// The plant of any driver.
#[derive(Clone, Debug)]
pub(super) enum Any {
    Ideal(IdealPlant),
    Slew(SlewPlant),
    Exponential(ExponentialPlant),
    Buck(BuckPlant),
    Shunt(ShuntPlant),
}

/// The same call on whichever plant it is.
macro_rules! on_any {
    ($any:expr, $plant:ident => $call:expr) => {
        match $any {
            Any::Ideal($plant) => $call,
            Any::Slew($plant) => $call,
            Any::Exponential($plant) => $call,
            Any::Buck($plant) => $call,
            Any::Shunt($plant) => $call,
        }
    };
}

impl Any {
    pub(super) fn new(driver: &Driver) -> Self {
        match driver {
            Driver::Ideal => Self::Ideal(IdealPlant::default()),
            Driver::Slew(slew) => Self::Slew(SlewPlant::new(slew)),
            Driver::Shunt(shunt) => Self::Shunt(ShuntPlant::new(shunt)),
            Driver::Buck(buck) => Self::Buck(BuckPlant::new(buck)),
            Driver::Exponential(edges) => Self::Exponential(ExponentialPlant::new(edges)),
        }
    }

    pub(super) fn switch(&mut self, on: bool) {
        on_any!(self, plant => plant.switch(on));
    }

    #[inline]
    pub(super) fn run<W: Watch>(&mut self, seconds: f64, watch: &mut W) -> Charge {
        on_any!(self, plant => plant.run(seconds, watch))
    }

    /// Those whose edges add up.
    pub(super) fn settling(&mut self) -> Option<&mut dyn Settling> {
        match self {
            Self::Ideal(plant) => Some(plant),
            Self::Slew(plant) => Some(plant),
            Self::Exponential(plant) => Some(plant),
            Self::Buck(_) | Self::Shunt(_) => None,
        }
    }
}
