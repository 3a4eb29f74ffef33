//! Shared pieces of the tests.

pub mod cases;
pub mod data;
pub mod stream;
