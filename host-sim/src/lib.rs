//! Steps the `milliglow` core on a PC, tick by tick, and judges the light that comes of it.
//!
//! The parts follow the way of the data: [`description`] reads a luminaire, [`run`] steps it, [`optics`] make light of
//! its streams, [`metrics`] make figures of what was seen, [`check`] judges them as [`verdict`]s, [`explore`] searches
//! designs that pass, [`emit`] writes constants for a firmware, [`faults`] makes things go wrong, [`report`] shows them; [`cli`] is the program.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod capture;
pub mod check;
pub mod chip;
pub mod cli;
pub mod colour;
pub mod description;
pub mod emit;
pub mod explore;
pub mod faults;
pub mod measure;
pub mod metrics;
mod numbers;
pub mod optics;
pub mod pictures;
pub mod report;
pub mod run;
pub mod thermal;
pub mod verdict;
