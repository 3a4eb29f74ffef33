//! Colour as numbers: the standard observer, chromaticities and the locus of real light.

mod chromaticity;
mod locus;
mod observer;

pub use chromaticity::{Uv, Xy, mix};
pub use locus::{boundary, is_real};
pub use observer::{Observed, standard_observer};
