//! Drivers: from a stream of bits to the current of a channel, in closed form between changes.
//!
//! A [`Driver`] is figures, checked; [`Gated`] is one behind a stream, with the state. Currents are over the full one,
//! that of an unbroken 1; charges are in ticks at full current.

mod any;
mod buck;
mod charge;
mod count;
mod decay;
mod decaying;
mod edge_correction;
mod edges;
mod error;
mod exponential;
mod following;
mod gate_delay;
mod gated;
mod ideal;
mod over_current;
mod shunt;
mod slew;
mod supply;
mod watch;

pub use buck::{Buck, BuckDesign, BuckFigures, MeanSpread};
pub use decay::{Decay, LightDecay};
pub use decaying::DecayingLight;
pub use edge_correction::{EdgeCorrection, EdgeTimes};
pub use error::DriverError;
pub use exponential::{Exponential, ExponentialFigures};
pub use following::{Following, Hindrance, LEAST_IN_TIME, LEAST_PEAK};
pub use gated::{Corner, Gated};
pub use over_current::{Knot, OverCurrent};
pub use shunt::{Shunt, ShuntFigures};
pub use slew::{Slew, SlewFigures};
pub use supply::{Burst, Ripple, Supply, SupplyFigures};

use edges::Edges;

/// How a channel's current follows its stream.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub enum Driver {
    /// The current is the stream.
    #[default]
    Ideal,
    /// Straight edges, delays, a charge taken at each turn-on.
    Slew(Slew),
    /// Exponential edges, delays.
    Exponential(Exponential),
    /// A buck converter, its switch gated by the stream.
    Buck(Buck),
    /// A switch across the string, the inductor's current kept up.
    Shunt(Shunt),
}

impl Driver {
    /// Relative change of the current over the relative change of the supply.
    #[must_use]
    pub fn line_sensitivity(&self) -> f64 {
        match self {
            Self::Ideal => 0.0,
            Self::Slew(slew) => slew.figures().line_sensitivity,
            Self::Exponential(edges) => edges.figures().line_sensitivity,
            Self::Buck(buck) => buck.line_sensitivity(),
            Self::Shunt(shunt) => shunt.figures().line_sensitivity,
        }
    }

    /// From a change of the stream to what it does, rising and falling, in seconds.
    fn delays(&self) -> (f64, f64) {
        match self {
            Self::Ideal | Self::Buck(_) => (0.0, 0.0),
            Self::Slew(slew) => {
                let figures = slew.figures();
                (figures.turn_on_delay_s, figures.turn_off_delay_s)
            }
            Self::Shunt(shunt) => {
                let figures = shunt.figures();
                (figures.turn_on_delay_s, figures.turn_off_delay_s)
            }
            Self::Exponential(edges) => {
                let figures = edges.figures();
                (figures.turn_on_delay_s, figures.turn_off_delay_s)
            }
        }
    }

    /// Its edges, if their charges add up where they leave pulses whole.
    fn edges(&self) -> Option<Edges> {
        match self {
            Self::Ideal => Some(Edges::NONE),
            Self::Slew(slew) => Some(slew.edges()),
            Self::Exponential(edges) => Some(edges.edges()),
            Self::Buck(_) | Self::Shunt(_) => None,
        }
    }

    /// Refuses pulses that are over before a named rise time is.
    fn refuse_short_pulses(&self, pulse_s: f64) -> Result<(), DriverError> {
        let rise_s = match self {
            Self::Slew(slew) => slew.figures().rise_s,
            Self::Shunt(shunt) => shunt.figures().rise_s,
            _ => return Ok(()),
        };
        let (on_s, off_s) = self.delays();
        let rise_s = rise_s + on_s - off_s;
        if rise_s > pulse_s * (1.0 + 1e-12) {
            return Err(DriverError::RiseLongerThanPulse { rise_s, pulse_s });
        }
        Ok(())
    }
}
