//! Shared pieces of the benches: peers to compare with, errors beside the times, and the table that shows both.

pub mod errors;
pub mod peers;
pub mod rows;
pub mod table;
