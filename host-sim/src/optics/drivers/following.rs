//! Whether a driver follows its stream.

use std::fmt;

use super::{Driver, DriverError, Gated};

/// What hinders a driver from following its stream.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hindrance {
    /// The inductor's current needs longer than a pulse.
    Inductor,
    /// The capacitor across the string smooths the pulse away.
    Capacitor,
    /// The rise and its delay take more than the pulse.
    Rise,
}

impl fmt::Display for Hindrance {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(match self {
            Self::Inductor => "inductor",
            Self::Capacitor => "capacitor",
            Self::Rise => "rise",
        })
    }
}

/// What becomes of the shortest pulse, one decision long, from the dark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Following {
    /// Highest current that it reaches, over the full one.
    pub peak: f64,
    /// Its charge over that of an ideal pulse.
    pub charge: f64,
    /// Part of its charge that flows within the pulse and a second decision after it.
    pub in_time: f64,
    /// What hinders it; none if the pulse is still a pulse.
    pub hindrance: Option<Hindrance>,
}

/// A pulse is a pulse if it reaches so much of the full current. Our choice.
pub const LEAST_PEAK: f64 = 0.9;

/// And if so much of its charge flows by the end of the decision that follows it. Our choice.
pub const LEAST_IN_TIME: f64 = 0.9;

impl Driver {
    /// Whether a pulse of one decision, `stretch` ticks of `tick_s` seconds, is still a pulse: it comes up to
    /// [`LEAST_PEAK`], and [`LEAST_IN_TIME`] of it is over in time.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for a tick outside 1 ns to 1 s or a stretch outside 1 to 1 000 000.
    pub fn following(&self, tick_s: f64, stretch: u32) -> Result<Following, DriverError> {
        let pulse = Pulse::of(self, tick_s, stretch)?;
        let hindrance = if pulse.is_one() {
            None
        } else {
            Some(self.hindrance(tick_s, stretch)?)
        };
        Ok(Following {
            peak: pulse.peak,
            charge: pulse.charge / f64::from(stretch),
            in_time: pulse.in_time,
            hindrance,
        })
    }

    /// A buck that would follow without its capacitor is hindered by that.
    fn hindrance(&self, tick_s: f64, stretch: u32) -> Result<Hindrance, DriverError> {
        let Self::Buck(buck) = self else {
            return Ok(Hindrance::Rise);
        };
        let bare = Self::Buck(buck.without_capacitor());
        Ok(if Pulse::of(&bare, tick_s, stretch)?.is_one() {
            Hindrance::Capacitor
        } else {
            Hindrance::Inductor
        })
    }
}

/// The shortest pulse, followed until it is over.
struct Pulse {
    peak: f64,
    /// In ticks at full current.
    charge: f64,
    in_time: f64,
}

/// Ticks after which a pulse's tail is cut off.
const LONGEST: usize = 100_000;

impl Pulse {
    fn of(driver: &Driver, tick_s: f64, stretch: u32) -> Result<Self, DriverError> {
        let mut gated = Gated::whatever_the_rise(driver, tick_s, stretch)?;
        let (decision, mut corners) = (stretch as usize, Vec::new());
        let (mut peak, mut charge, mut in_time) = (0.0_f64, 0.0, 0.0);
        for tick in 0..LONGEST + 2 * decision {
            corners.clear();
            let tick_charge = gated.trace(tick < decision, &mut corners);
            let highest = corners.iter().map(|corner| corner.current);
            peak = highest.fold(peak, f64::max);
            charge += tick_charge;
            if tick < 2 * decision {
                in_time = charge;
            } else if tick_charge <= 1e-9 * charge {
                break;
            }
        }
        let in_time = if charge > 0.0 { in_time / charge } else { 0.0 };
        Ok(Self {
            peak,
            charge,
            in_time,
        })
    }

    fn is_one(&self) -> bool {
        self.peak >= LEAST_PEAK && self.in_time >= LEAST_IN_TIME
    }
}
