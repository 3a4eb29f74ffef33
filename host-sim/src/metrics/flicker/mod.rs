//! Flicker of light, as eye and brain get it: one file a metric, each with its band and resolution as `BAND`.
//!
//! They take plain light: the exact [`Line`]s of light that stands still, or [`Samples`] of any light. Dense exact
//! lines are first summed 1 Hz wide ([`spectrum::sum_within_1_hz`]); [`spectrum::lines`] makes such lines of samples.
//! Numbers that are not finite are the caller's to refuse.

pub mod filtered_modulation;
mod fourier;
pub mod ieee1789;
pub mod modulation;
pub mod period;
pub mod phantom_array;
pub mod pst_lm;
pub mod spectrum;
pub mod svm;
pub mod temporal_visibility;
mod waveform;
mod windowed;
mod worst;

pub use waveform::{Line, Samples};
pub use worst::Worst;
