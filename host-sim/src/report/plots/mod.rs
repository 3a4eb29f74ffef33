//! The plots of the report, one file a plot, as SVG text.
//!
//! Every length is in pixels of a drawing that the page shows about [`WIDTH`] wide.

mod against_light;
mod axis;
mod buck;
mod bus;
mod chromatic;
mod colour_path;
mod colour_shift;
mod curve;
mod densities;
mod frame;
mod front;
mod gamut;
mod ink;
mod labels;
mod light_errors;
mod operating_rows;
mod pen;
mod pinst;
mod point_names;
mod power;
mod pulse_rates;
mod script_light;
mod smoothing;
mod spectrum;
mod streams;
mod supply_lines;
mod uv_diagram;
mod warm_shift;
mod waveform;
mod ways;
mod white_fades;
mod zoom;

pub(super) use against_light::{AgainstLight, against_light};
pub(super) use axis::Scale;
pub(super) use buck::{buck_pulses, buck_start};
pub(super) use bus::{bus_levels, dead_times};
pub(super) use chromatic::chromatic;
pub(super) use colour_path::colour_path;
pub(super) use colour_shift::{colour_shift, follows, warming};
pub(super) use curve::curve;
pub(super) use densities::densities;
pub(super) use front::front;
pub use gamut::gamut;
pub(super) use light_errors::light_errors;
pub(super) use operating_rows::operating_rows;
pub use pinst::pinst;
pub(super) use power::power;
pub(super) use pulse_rates::pulse_rates;
pub(super) use script_light::script_light;
pub(super) use smoothing::smoothing;
pub use spectrum::spectrum;
pub(super) use streams::{stream, window_ticks};
pub(super) use supply_lines::supply_lines;
pub(super) use warm_shift::warm_shift;
pub use waveform::waveform;
pub(super) use waveform::waveform_over;
pub(super) use ways::ways;
pub(super) use white_fades::{name as white_fade_name, which as which_white_fade, white_fades};
pub(super) use zoom::zooms;

/// Width of every drawing.
const WIDTH: f64 = 560.0;
/// Room at the right of a frame for longer names of lines than most have.
const LONG_NAMES: f64 = 190.0;
/// Height of a drawing that has no reason for another one.
const HEIGHT: f64 = 360.0;
