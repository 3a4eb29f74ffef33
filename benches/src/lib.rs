//! Shared pieces of the benches: peers to compare with, errors beside the times, the table that shows both, and the page of results.

pub mod counts;
pub mod errors;
pub mod hot_paths;
pub mod peers;
pub mod results;
pub mod rows;
pub mod table;
