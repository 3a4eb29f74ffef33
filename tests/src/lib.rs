//! Shared pieces of the tests.

mod table;

pub use table::{Row, table};

/// The README's Rust block compiles and runs as it stands.
#[cfg(doctest)]
#[doc = include_str!("../../README.md")]
pub struct Readme;
