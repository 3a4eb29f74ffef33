//! What the core computes against published values, closed forms and independent computations.

mod control_levels;
mod exponential;
mod exponential_steps;
mod idle_tones;
mod inverse;
mod lightness;
mod noise;
mod published_streams;
mod second_order_state;
mod stream_spectra;
mod tail;
mod worst_error;
