//! What a luminaire is told on a bus: bytes and time stamps in, where to go out. No physical layer.
//!
//! [`iec62386`] takes frames of 16 bits and yields a [`Movement`] for each command that moves the light;
//! [`dmx512`] takes packets of slots and yields values that move smoothly every control step.
//! [`FrameQueue`] brings frames from an interrupt to the control loop, [`Palette`] makes recipes of their colours, and
//! [`ControlClock`] says how many control steps are due when the timer was late or the time base jumped.
//! `stored` (feature of that name) keeps scenes, scripts and settings as images that recognise their own damage.

mod colour;
mod control_clock;
pub mod dmx512;
pub mod iec62386;
mod movement;
mod palette;
mod queue;
#[cfg(feature = "stored")]
pub mod stored;

pub use colour::{Colour, PRIMARIES};
pub use control_clock::{ClockCounts, ControlClock, Late};
pub use movement::Movement;
pub use palette::Palette;
pub use queue::FrameQueue;
