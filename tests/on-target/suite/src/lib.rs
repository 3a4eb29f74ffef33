//! What the core gives on shared vectors, as hashes that must be the same wherever it runs.
//!
//! The firmwares run this on the microcontroller, the program of this package on the PC; nobody writes a hash down. The
//! vectors are made by arithmetic here, so that both have the same ones. Every public function of the core is called (a test
//! compares the names), so that a firmware of this suite that links without a panic proves that the core has none.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod bus;
mod curves;
mod decisions;
mod duties;
mod fades;
mod flux;
mod hash;
mod held;
mod luminaires;
mod mailboxes;
mod operating;
mod outputs;
mod random;
mod set_up;
mod solved;
mod streams;
pub mod tables;
mod warming;

use hash::Hash;

/// Takes a line of the suite: what was hashed, and its hash.
pub type Report<'a> = &'a mut dyn FnMut(&str, u32);

/// Runs all.
pub fn run(report: Report<'_>) {
    set_up::run(report);
    curves::run(report);
    fades::run(report);
    streams::run(report);
    held::run(report);
    decisions::run(report);
    duties::run(report);
    outputs::run(report);
    operating::run(report);
    flux::run(report);
    solved::run(report);
    warming::run(report);
    luminaires::run(report);
    mailboxes::run(report);
    bus::run(report);
}
