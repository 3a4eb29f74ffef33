//! What a luminaire is told on a bus: bytes and time stamps in, where to go out. No physical layer.
//!
//! [`iec62386`] takes frames of 16 bits and yields a [`Movement`] for each command that moves the light;
//! [`dmx512`] takes packets of slots and yields values that move smoothly every control step.
//! `stored` (feature of that name) keeps scenes, scripts and settings as images that recognise their own damage.

mod colour;
pub mod dmx512;
pub mod iec62386;
mod movement;
#[cfg(feature = "stored")]
pub mod stored;

pub use colour::{Colour, PRIMARIES};
pub use movement::Movement;
