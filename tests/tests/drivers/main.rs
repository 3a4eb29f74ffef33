//! Drivers against published formulas and tables, and their fast paths against single ticks.

mod buck;
mod buck_memory;
mod decay;
mod edge_correction;
mod exponential;
mod following;
mod pulses;
mod refusals;
mod shunt;
mod stream_average;
mod supply;
mod words;
