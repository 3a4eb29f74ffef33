//! Figures of light: pure functions of counts, densities and fluxes, one file a subject.

mod arrival;
mod average;
pub mod camera;
mod colour_shift;
mod direction;
pub mod flashes;
pub mod flicker;
pub mod gsdf;
mod light_step;
mod pulses;

pub use arrival::{Arrival, ArrivalWatch};
pub use average::{count_resolution, relative_error};
pub use colour_shift::{N_STEP, chromaticity, colour_shift};
pub use direction::DirectionWatch;
pub use light_step::{LightStep, StepWatch};
pub use pulses::{Pulses, first_order};
