//! Shared pieces of the tests.

pub mod cases;
pub mod data;
pub mod program;
pub mod stream;

/// The README's Rust block compiles and runs as it stands.
#[cfg(doctest)]
#[doc = include_str!("../../README.md")]
pub struct Readme;
