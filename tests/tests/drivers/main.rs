//! Drivers against published formulas and tables, and their fast paths against single ticks.

mod buck;
mod edge_correction;
mod exponential;
mod pulses;
mod stream_average;
mod words;
