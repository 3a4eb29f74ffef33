//! Colour as numbers: the standard observer, chromaticities, whites, gamuts, and from a wanted colour to channel shares.

mod chromaticity;
mod daylight;
mod gamut;
mod hull;
mod locus;
mod nominal;
mod observer;
mod planck;
pub mod solver;
mod white;

pub use chromaticity::{N_STEP, Uv, Xy, mix};
pub use daylight::daylight;
pub use gamut::{Face, Gamut, NO_DISTANCE, Place};
pub use locus::{boundary, is_real};
pub use nominal::{ILLUMINANTS, NOMINAL_WHITES, NominalWhite, named_white};
pub use observer::{Observed, standard_observer};
pub use planck::{C2_M_K, planckian};
pub use white::{CCT_RANGE_K, LARGEST_DUV, White};
