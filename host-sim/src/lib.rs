//! Steps the `milliglow` core on a PC, tick by tick, and judges the light that comes of it.
//!
//! The parts follow the way of the data: [`description`] reads a luminaire, [`run`] steps it,
//! [`metrics`](verdict) make figures of what was seen, [`verdict`] judges them, [`report`] shows them.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod description;
pub mod report;
pub mod run;
pub mod verdict;
