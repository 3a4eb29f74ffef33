//! The description of a luminaire: what is read, what is refused and how, and the schema beside it.

mod bus;
mod drivers;
mod errors;
mod examples;
mod hostile;
mod schema;
mod values;

/// Every key of the format, once.
const FULL: &str = include_str!("../../data/full_luminaire.toml");

/// Only the keys that must be there.
const LEAST: &str = r#"schema = 1
name = "least"
tick_hz = 1_000_000
control_hz = 1_000
full_output_cd_m2 = 400.0

[curve]
kind = "exponential"
depth = 1_000

[[channels]]
name = "red"
flux_lm = 180.0
x = 0.695
y = 0.3045

[[channels]]
name = "white"
flux_lm = 400.0
x = 0.468
y = 0.42

[recipes]
evening = { red = 0.5, white = 1.0 }
"#;
