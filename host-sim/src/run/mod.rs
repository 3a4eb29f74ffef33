//! Steps the core luminaire and records what the metrics need.

mod asked;
mod hold;
mod observed;
mod pulse_count;
mod script;
mod stepped;

pub use asked::{core_curve, core_shares, ideal_light, level, light, steady_levels};
pub use hold::{TEST_LIGHTS, draw, hold_all, steady, steady_shares, stream};
pub use observed::{
    Bands, FadeSpan, Flicker, HeldChannel, Hold, MetricMap, MetricRow, Moment, Observed,
    PulseRates, Sight, Swing, WorstLine,
};
pub use pulse_count::PulseCount;
pub use script::{Step, control_steps, round_steps, rounds, run};
pub use stepped::{Stepped, luminaire};
