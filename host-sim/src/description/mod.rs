//! The description of a luminaire: what the TOML file says, validated, in SI units and plain types.
//!
//! ```
//! use milliglow_sim::description::{BUILT_IN, parse};
//!
//! let light = parse(BUILT_IN, "cove-light.toml")?;
//! assert_eq!(light.channels.len(), 5);
//! let problem = parse("schema = 1\ntick_hx = 3_000_000", "my.toml").unwrap_err();
//! assert_eq!((problem.line(), problem.column(), problem.key()), (Some(2), Some(1), Some("tick_hx")));
//! assert!(problem.render(false).contains("did you mean `tick_hz`?"));
//! # Ok::<(), milliglow_sim::description::Problem>(())
//! ```

mod analog;
mod board;
mod bus;
mod cameras;
mod channels;
mod chip;
mod colour_recipe;
mod core_curve;
mod curve;
mod driver;
mod explore;
mod file;
mod flux_model;
mod hardware;
mod key;
mod led;
mod luminaire;
mod modulation;
mod nearest;
mod operating;
mod problem;
mod recipes;
mod requirements;
mod script;
mod spread;
mod starter;
mod supply;
mod table;
mod value;

pub use board::Board;
pub use bus::{
    Bus, BusFrame, BusKind, ControlGear, GearScene, Prepared, Receiver, SceneColour, Slot, SlotRole,
};
pub use chip::{Chip, Output};
pub use colour_recipe::{Knot, Recipe};
pub use core_curve::{core_curve, level_of, light};
pub use file::{parse, read};
pub use flux_model::FluxModel;
pub(crate) use operating::TIME_CONSTANTS;
pub use problem::Problem;
pub use starter::starter;

use crate::optics::drivers::{Driver, LightDecay, OverCurrent, Supply};

/// The luminaire that ships in the program, as its file says it: `host-sim/luminaires/cove-light.toml`.
pub const BUILT_IN: &str = include_str!("../../luminaires/cove-light.toml");

/// A luminaire as its file describes it, every value checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Description {
    /// Name, shown in reports and used for the report's folder: 1 to 60 characters, no control
    /// characters, no `/` or `\`, the first not a dot.
    pub name: String,
    /// A free remark, shown in the report (where invented figures say so).
    pub note: Option<String>,
    /// Ticks per second of the one-bit streams, 1 000 to 100 000 000.
    pub tick_hz: u32,
    /// How far the real tick rate may lie from `tick_hz`, as a fraction, 0 to 0.2.
    pub tick_tolerance: f64,
    /// Control steps per second, 10 to 100 000, at most `tick_hz / 32`: densities change between words.
    pub control_hz: u32,
    /// Luminance at full output in cd/m2, above 0.
    pub full_output_cd_m2: f64,
    /// Seed of the dither, not 0.
    pub seed: u32,
    /// The dimming curve.
    pub curve: CurveChoice,
    /// Channels, 1 to 16, names unique.
    pub channels: Vec<Channel>,
    /// How warm the board is and what power it may take.
    pub board: Board,
    /// Recipes, 1 to 32, in the order of the file, names unique.
    pub recipes: Vec<Recipe>,
    /// The script of fades, run from black, 0 to 1 000 entries, 24 hours at most.
    pub script: Vec<Fade>,
    /// Whether the script starts over when it ends. Default false.
    pub script_loops: bool,
    /// The bus that moves the light in place of a script, if there is one.
    pub bus: Option<Bus>,
    /// Cameras that look at the light, 0 to 8, names unique.
    pub cameras: Vec<Camera>,
    /// What the supply of the drivers does.
    pub supply: Supply,
    /// The microcontroller. None: not described, and nothing of it is judged.
    pub chip: Option<Chip>,
    /// What the hardware could do beyond what is described: advice keeps within it.
    pub hardware: Hardware,
    /// How the channels' operating tables are used.
    pub operating: Operating,
    /// What the design search may vary.
    pub explore: Explore,
    /// How far the units of a series differ.
    pub spread: Spread,
    /// Plain dimming by the set point, for comparison.
    pub analog: Analog,
    /// The limits that the light is judged against.
    pub requirements: Requirements,
}

/// How far the units of a series lie from their design at most, either way: fractions of the design's figures, each of a channel
/// by itself. The defaults are our choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Of rise times and rise constants, 0 to 0.5. Default 0.2.
    pub rise: f64,
    /// Of fall times and fall constants, 0 to 0.5. Default 0.2.
    pub fall: f64,
    /// Of turn-on, turn-off and comparator delays, 0 to 0.5. Default 0.2.
    pub delay: f64,
    /// Of each lower set point's light ratio, 0 to 0.5. Default 0.02.
    pub range_ratio: f64,
    /// Of the flux, 0 to 0.5. Default 0.05.
    pub flux: f64,
    /// Largest distance of a channel's chromaticity, delta u'v', 0 to 0.1. Default 0.002.
    pub chromaticity_uv: f64,
}

/// What plain dimming by the set point would be like: errors at most, either way, each of a channel by itself. The defaults are
/// our choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Analog {
    /// Offset of the set point, as a fraction of full current, 0 to 0.1. Default 0.001.
    pub offset: f64,
    /// Error of the set point's gain, 0 to 0.5. Default 0.01.
    pub gain: f64,
    /// Error of the sensed current, 0 to 0.5. Default 0.01.
    pub sense: f64,
    /// By how much a channel's x rises with each decade less current, -0.1 to 0.1. Default 0.002.
    pub x_a_decade: f64,
    /// Likewise y. Default -0.002.
    pub y_a_decade: f64,
}

/// What the hardware offers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hardware {
    /// Highest tick rate in Hz, from `tick_hz` to 100 000 000. Default 100 000 000.
    pub tick_hz_max: u32,
    /// Largest ratio of a second, lower current range, 1 (none) to 1 000. Default 1.
    pub range_ratio_max: f64,
}

/// What the design search may vary; every list holds at least one value.
#[derive(Clone, Debug, PartialEq)]
pub struct Explore {
    /// Clock of the chip in Hz, 1e6 to 1e9; tick rates divide it. None: not stated.
    pub chip_hz: Option<u32>,
    /// Lowest tick rate in Hz, 1 000 to 100 000 000. None: the search's own.
    pub tick_hz_min: Option<u32>,
    /// Highest tick rate in Hz, 1 000 to 100 000 000; `[hardware]` bounds it as well. None: the search's own.
    pub tick_hz_max: Option<u32>,
    /// Orders of the modulation: 0 (with a timer only), 1, 2. Default 1 and 2.
    pub orders: Vec<u8>,
    /// Dither: none, or 2^-shift quantiser steps, shift 0 to 8. Default none.
    pub dither_shifts: Vec<Option<u8>>,
    /// Bits of a timer's duty, 8 to 16, or none: a one-bit stream. Default none.
    pub timer_bits: Vec<Option<u8>>,
    /// Ticks a decision in the upper part of the light. Default 1, 2, 4, 8 and 16.
    pub stretches: Vec<u8>,
    /// Channel lights from which decisions are stretched, above 0 to 99 %. Default 5 and 20.
    pub stretch_from_percent: Vec<f64>,
    /// Ratios of a lower current range, 1 (none) to 1 000. None: the search's own, up to that of `[hardware]`.
    pub range_ratios: Option<Vec<f64>>,
    /// How far the lower range is used, in per cent of its own full light, above 0 to 99. Default 80.
    pub lower_range_below_percent: Vec<f64>,
    /// Factors on the drivers' rise and fall times, above 0 to 100. Default 1.
    pub edge_factors: Vec<f64>,
}

/// A camera with a rolling shutter that should not show bands.
#[derive(Clone, Debug, PartialEq)]
pub struct Camera {
    /// Name, unique: 1 to 60 characters.
    pub name: String,
    /// Frames a second, 1 to 1 000.
    pub frame_hz: f64,
    /// Rows of a frame, 1 to 10 000.
    pub rows: u32,
    /// From the begin of a row to that of the next, in seconds, 0.1 us to 10 ms.
    pub line_s: f64,
    /// Exposure of a row in seconds, 1 us to 10 s.
    pub exposure_s: f64,
    /// The lights that it is judged at, 1 to 16 fractions of full: exposure follows light.
    pub lights: Vec<f64>,
    /// Largest Michelson contrast of its bands. Default 0.02, our choice.
    pub contrast: f64,
}

/// The dimming curve: Level to light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CurveChoice {
    /// Exponential from 1/depth to full, with an optional tail to black.
    Exponential {
        /// Full light over lowest light, 10 to 100 000.
        depth: u32,
        /// Levels that the tail takes, 0 (none) to 4096.
        tail_levels: u16,
    },
    /// CIE 1976 lightness.
    Lightness,
    /// Light in proportion to Level.
    Linear,
}

/// One LED channel.
#[derive(Clone, Debug, PartialEq)]
pub struct Channel {
    /// Name, unique in the luminaire: letters, digits, `-` and `_`, 1 to 30.
    pub name: String,
    /// Luminous flux at full drive in lm, above 0, at most 1e6.
    pub flux_lm: f64,
    /// CIE 1931 chromaticity, inside the locus of real light.
    pub x: f64,
    /// CIE 1931 chromaticity, above 0.
    pub y: f64,
    /// Electrical power at full drive in W, above 0, at most 10 000; none where the file says none.
    pub power_w: Option<f64>,
    /// What bin and temperature do to its flux.
    pub flux_model: FluxModel,
    /// How long its light lasts after its current. Default prompt.
    pub light_decay: LightDecay,
    /// Efficacy and chromaticity against current, those at full being 1, `x` and `y`; none where light is in proportion to the
    /// current and of one colour. Default none.
    pub over_current: Option<OverCurrent>,
    /// How density becomes a stream.
    pub modulation: Modulation,
    /// How its current follows its stream.
    pub driver: Driver,
    /// Its operating table, 1 to 8 rows, the first from no light on.
    pub rows: Vec<OperatingRow>,
}

/// A row of the operating table: from a light on, a set point of the driver and a stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OperatingRow {
    /// Light of the channel, as a fraction of its full light, from which the row is used.
    pub from_light: f64,
    /// Full light of the channel over that of this set point as the firmware has it, 1 to 1 000. Default 1.
    pub range_ratio: f64,
    /// Full current of the channel over that of this set point, 1 to 1 000; none for the one whose light `range_ratio` says.
    pub current_ratio: Option<f64>,
    /// Ticks that a decision lasts: 1, 2, 4, 8 or 16. Default 1.
    pub stretch: u8,
}

impl OperatingRow {
    /// One set point, a decision every tick.
    pub const PLAIN: Self = Self {
        from_light: 0.0,
        range_ratio: 1.0,
        current_ratio: None,
        stretch: 1,
    };
}

/// How operating tables are used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Operating {
    /// Which channels share a set point. Default own.
    pub set_points: SetPoints,
    /// A row is left downwards below its light less 2^-shift of it, shift 1 to 10. Default 3.
    pub hysteresis_shift: u8,
    /// How long a new set point settles, in seconds, 0 to 0.01. Default 0.
    pub settling_s: f64,
    /// What bridges the settling. Default a dark pause.
    pub settling: Settling,
    /// Whether densities give back what the driver's edges take. Default yes.
    pub edge_correction: bool,
    /// Lowest light of the luminaire, as a fraction of full, 0 (none) to 0.1. Default 0.
    pub lowest_light: f64,
    /// What becomes of lights below the lowest. Default hold.
    pub below_lowest: BelowLowest,
}

impl Default for Operating {
    fn default() -> Self {
        operating::defaults()
    }
}

/// Which channels share a set point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SetPoints {
    /// Each channel has its own.
    Own,
    /// One for all, chosen by the brightest channel.
    Common,
}

/// What bridges the time in which a new set point settles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Settling {
    /// The channel stays dark for it, and gives the light afterwards.
    DarkPause,
    /// The channel goes on, and what the settling adds or takes is made up for. The time is the set point's time constant.
    Booked,
}

/// What becomes of lights below the luminaire's lowest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BelowLowest {
    /// The lowest light stays on.
    Hold,
    /// The luminaire goes off.
    Off,
}

/// How density becomes a one-bit stream.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Modulation {
    /// First order, the default.
    FirstOrder,
    /// First order with dither; the width is 2^-`width_shift` quantiser steps, shift 0 to 8.
    Dithered {
        /// 0: one step wide, 1: half a step, and so on.
        width_shift: u8,
    },
    /// Second order, one bit.
    SecondOrder,
    /// A timer's pulse width modulation: one pulse every 2^`bits` ticks, its duty requantised.
    Timer {
        /// Bits of the duty, 8 to 16.
        bits: u8,
        /// Order of the error feedback from period to period: 0 (the duty is rounded), 1 or 2.
        order: u8,
        /// Dither of 2^-`width_shift` duty steps, shift 0 to 8, or none.
        width_shift: Option<u8>,
    },
}

/// One entry of the script.
#[derive(Clone, Debug, PartialEq)]
pub struct Fade {
    /// Index into [`Description::recipes`].
    pub recipe: usize,
    /// Where the Level goes.
    pub level: LevelChoice,
    /// Duration in seconds, 0 (at once) to 86 400.
    pub seconds: f64,
    /// Recipes on the way, after equal parts of the time: one share a channel each, at most 15, each with a control step at least. None
    /// for a fade that goes straight.
    pub through: Vec<Vec<f64>>,
}

/// Where a fade goes: a Level, or the highest Level not above a light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LevelChoice {
    /// Level 0 to 65 535.
    Level(u16),
    /// Fraction of full light, 0 to 1.
    Light(f64),
}

/// Limits; each has a documented default. Fractions, SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Requirements {
    /// The depth asked for: lowest steady light, as a fraction of full, 1e-5 to 0.1. Default 0.001.
    pub lowest_light: f64,
    /// Largest relative error of a channel's average density against curve x share. Default 0.001.
    pub average_error: f64,
    /// Largest light step between two control steps of a fade, as ratio minus 1. Default 0.01.
    pub light_step: f64,
    /// Largest relative step of a channel's light as it changes its row. Default 0.002.
    pub range_step: f64,
    /// Largest first or last lit step of a fade from or to black, as a fraction of full. Default 0.0002.
    pub edge_light: f64,
    /// Largest shift of chromaticity against full light, delta u'v'. Default 0.0011 (one n-step).
    pub colour_shift: f64,
    /// Longest dark gap of a lit channel at steady light, in seconds. Default 1/90 s.
    pub dark_gap_s: f64,
    /// Lowest pulse rate of a lit channel at steady light, in Hz. Default 90.
    pub pulse_hz: f64,
    /// Largest SVM at any steady light. Default 0.4.
    pub svm: f64,
    /// Largest PstLM at any steady light. Default 1.0.
    pub pst_lm: f64,
    /// Largest amplitude of a line over the limit of IEEE 1789 no effect. Default 1.
    pub no_effect_margin: f64,
    /// Largest modulation below 90 Hz. Default 0.05.
    pub seizure: f64,
    /// Largest temporal visibility, 1 being just seen. Default 1.
    pub visibility: f64,
    /// Largest light step of a fade in just-noticeable differences. Default 1.
    pub step_jnd: f64,
}
