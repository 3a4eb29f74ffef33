//! Control gear of IEC 62386-102: forward frames of 16 bits in, answers and movements out.
//!
//! Built: arc power levels on both curves, limits, fades, scenes, groups, queries; of IEC 62386-209 the colour types
//! xy, colour temperature, primary levels and the six levels red to free colour, each channel by itself. Not built: commissioning (random
//! and search addresses), memory banks, operating modes, linked channels. Numbers of commands and their effect are from memory; the
//! tables of fade times and rates were seen in a source.

mod colour_command;
mod configure;
mod counts;
mod fade_time;
mod frame;
mod gear;
mod instruction;
mod limits;
mod moves;
mod query;
mod receive;
mod settings;
#[cfg(feature = "stored")]
mod settings_image;

pub use counts::Counts;
pub use fade_time::{ExtendedFadeTime, FadeRate, FadeTime};
pub use frame::{Address, Frame};
pub use gear::{Configuration, Gear};
pub use receive::Response;
pub use settings::Settings;
#[cfg(feature = "stored")]
pub use settings_image::SETTINGS_BYTES;

/// A level, scene or colour value that asks for no change. *Source*: from memory.
pub const MASK: u8 = 255;
