//! How warm the junctions get, and what that does to flux and colour: the physics in f64, the core's own flux correction beside it.

mod correction;
mod judged;
mod physics;
mod warm;

pub(crate) use correction::MOST_CHANNELS;
pub use correction::{board_sensor, correction};
pub(crate) use correction::{millicelsius, millionths, thousandths};
pub use judged::{Missing, missing};
pub use physics::Physics;
pub use warm::{PERIOD_S, Warm, WarmState};
