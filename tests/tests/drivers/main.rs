//! Drivers against published formulas and tables, and their fast paths against single ticks.

mod pulses;
mod stream_average;
mod words;
