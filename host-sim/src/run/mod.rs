//! Steps the core luminaire and records what the metrics need.

mod alone;
mod asked;
mod bus;
mod colours;
mod course;
mod decay_groups;
mod driven;
mod driving;
mod hold;
mod light_sampler;
mod observed;
mod pulse_count;
mod row_numbers;
mod runs;
mod script;
mod second_order_lanes;
mod set_point;
mod standing;
mod standing_words;
mod stepped;
mod streams;
mod supplied;
mod tables;
mod tables_over_light;
mod timed;
mod warmed;

pub use crate::description::{core_curve, light};
pub use alone::{Alone, light_is_exact, mean_light};
pub use asked::{core_shares, ideal_light, level, steady_levels};
pub use bus::{
    BusSeen, FADE_S, FrameSeen, Heard, LineState, Played, Smoothed, delay_s, fade_place, played,
    smoothed,
};
pub(crate) use bus::{
    GearRecipes, Receives, SlotMeaning, asked_level, configured, fresh, receiver,
};
pub use colours::core_shares_at;
pub(crate) use colours::legs;
pub use course::{Course, Leg, SmoothPlace, Track};
pub use driven::{Driven, Stand};
pub use driving::{
    Driving, DrivingChannel, EdgeError, LightErrors, RowOverLight, SupplyCurrent, TableOverLight,
    Zoom,
};
pub use hold::{Drawn, TEST_LIGHTS, draw, hold_all, steady, steady_shares, test_lights};
pub use light_sampler::LightSampler;
pub use observed::{
    Bands, Dimming, FadeSpan, Flicker, HeldChannel, HeldColour, Hold, MetricMap, MetricRow, Moment,
    Observed, PulseRates, Sight, Swing, WhiteFade, WorstLine,
};
pub use pulse_count::PulseCount;
pub use row_numbers::{RowNumbers, row_numbers};
pub use runs::runs_of_ones;
pub use script::{Step, control_steps, leg_ends, rounds, run};
pub use second_order_lanes::Held;
pub use set_point::SetPoint;
pub use standing::{BOTH_WAYS, From, Standing};
pub use standing_words::StandingWords;
pub use stepped::{Stepped, luminaire};
pub use streams::{stream, streams};
pub use supplied::Supplied;
pub(crate) use tables::{lowest, range_choice, settling, table};
pub use tables_over_light::tables_over_light;
pub use timed::{has_exact_lines, steadied};
pub use warmed::{FadePower, Warmed, WarmedRecipe, WarmedWhen};
