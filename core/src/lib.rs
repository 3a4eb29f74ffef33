//! Dim a luminaire of N LED channels to 0.1 % and below, evenly to the eye, on a small microcontroller.
//!
//! The way of the data, once a control step (0.5 to 8 kHz, from a timer):
//!
//! ```text
//! target -> fade (Level and shares, same arrival) -> curve: Light -> share x light = channel light
//!   -> operating row (range, stretch) -> density
//! ```
//!
//! and at the tick rate (hundreds of kHz to several MHz), a word or a buffer at a time:
//!
//! ```text
//! density -> modulator -> words of 32 ticks -> output: SPI, DMA to a port or a timer -> LED
//! ```
//!
//! [`bus`] says where to go, [`mailbox`] hands it over. [`luminaire::Luminaire`] wires the rest together; each part also works alone. Five number words are never mixed: [`Level`] (perceived
//! position), [`Light`] (linear fraction), [`Share`] (of a channel in a colour), [`density::Density`] (ones per
//! tick), and duty (a timer's compare value over its period: [`requantise`]).
//!
//! No allocation, no `unsafe`, no float on the signal path, no division outside set-up, no panic. Everything can be built in a
//! `const` or `static`; see [`constant!`].
//!
//! Features, off by default: `embedded-hal` sets duties on pins and writes words to SPI, `defmt` gives `Format` to the public value types and configurations, `serde` gives `Serialize` and
//! `Deserialize` to what travels: [`Light`], [`Level`], [`Share`], [`density::Density`], [`Recipe`] and
//! [`luminaire::Target`]. `stored` adds scenes, scripts and images of them, `solver` adds `solve`: from a colour to shares
//! at run time, in `f32`.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod bus;
pub mod curve;
pub mod density;
mod error;
pub mod fade;
pub mod flux_correction;
mod fraction;
mod knots;
mod light;
pub mod luminaire;
pub mod mailbox;
pub mod operating;
pub mod output;
mod path;
mod recipe;
pub mod requantise;
#[cfg(feature = "solver")]
pub mod solve;

pub use error::Error;
pub use knots::{Knots, KnotsRef};
pub use light::{Level, Light};
pub use path::Path;
pub use recipe::{Recipe, Share};
