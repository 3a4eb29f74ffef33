//! Shared pieces of the tests.

mod table;

pub use table::{Row, table};
