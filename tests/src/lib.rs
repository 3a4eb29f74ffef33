//! Shared pieces of the tests.

mod agreement;
pub mod cases;
pub mod data;
mod flickermeter_light;
pub mod plain_cove;
pub mod program;
pub mod readme;
pub mod script_streams;
mod series;
pub mod stream;
pub mod tables;

pub use agreement::Agreement;
pub use flickermeter_light::flickermeter_light;
pub use series::Series;

/// The README's Rust block compiles and runs as it stands.
#[cfg(doctest)]
#[doc = include_str!("../../README.md")]
pub struct Readme;
