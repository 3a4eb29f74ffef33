//! From streams to light: the lines of a light that stands still, samples of one that moves, light summed over time.
//!
//! Light is constant within a tick: the flux of every channel whose bit is one. What a driver makes of a stream instead
//! is in [`drivers`].

mod decimator;
pub mod drivers;
mod edges;
mod fir;
mod lanes;
mod lines;
mod moments;
mod record;
mod rotation;
mod short_spans;
#[cfg(test)]
mod slow_lines_test;
mod span_decay;
mod spans;
mod steady;
mod steady_timer;
mod summed;
mod thinned;
mod timer_lines;
mod whole_spans;

pub use decimator::Decimator;
pub use edges::EdgeSampler;
pub use lanes::{Lanes, LitRow};
pub use lines::{LineBand, PhasedLine, SteadyChannel, lines, steady_lines};
pub use record::record_lines;
pub use steady::light_in_a_window;
pub use steady_timer::{Steady, SteadyTimer};
pub use summed::Summed;
pub use thinned::Thinned;
