//! Steps the core luminaire and records what the metrics need.

mod observed;

pub use observed::{FadeSpan, HeldChannel, Hold, Moment, Observed, PulseRates};
