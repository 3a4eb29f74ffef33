//! What `milliglow emit` makes of two luminaires in `host-sim/luminaires`; a test keeps it so.

pub mod aisle_marker;
pub mod cove_light;
