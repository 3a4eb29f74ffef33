//! The luminaire "aisle marker" for milliglow.
//!
//! Written by `milliglow emit` 0.1.0, from inputs with the SHA-256 digest
//! 3efd2ce9dfa3fb78993575074cbb507830e0b797e97a5edab3f48e8119c061fe:
//! change those and write this anew.
//!
//! "All figures of this luminaire are invented."
#![allow(dead_code, reason = "a firmware takes what it needs")]

use milliglow::constant;
use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::flux_correction::{Channel, Factor, FluxTable, Heating, Temperature};
use milliglow::luminaire::{Configuration, Lowest, Luminaire, RangeChoice, Target};
use milliglow::operating::Table;
use milliglow::{Knots, KnotsRef, Level, Recipe, Share};

/// Ticks a second of the streams.
pub const TICK_HZ: u32 = 7_500_000;

/// Control steps a second; each takes effect with the first word of 32 ticks that begins at or after it.
pub const CONTROL_HZ: u32 = 1_000;

/// The channels: warm, cool.
pub const CHANNELS: usize = 2;

/// Seed of the dither.
pub const SEED: u32 = 1;

/// From Level to light.
pub const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));

/// From density to stream, a channel each.
pub const MODULATION: [Modulation; CHANNELS] = [
    // warm
    Modulation::FirstOrder,
    // cool
    Modulation::FirstOrder,
];

/// What the luminaire is.
pub const CONFIGURATION: Configuration<'static, CHANNELS> = Configuration {
    curve: CURVE,
    modulation: MODULATION,
    operating: [
        // warm
        &Table::PLAIN,
        // cool
        &Table::PLAIN,
    ],
    range_choice: RangeChoice::Own,
    lowest: Lowest::Any,
    seed: SEED,
};

const FLUX_KNOTS_WARM: [(Temperature, Factor); 4] = [
    // 25 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(25_000)),
        constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    ),
    // 55 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(55_000)),
        constant!(Factor::from_ratio_nearest(950_000, 1_000_000)),
    ),
    // 85 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(85_000)),
        constant!(Factor::from_ratio_nearest(900_000, 1_000_000)),
    ),
    // 115 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(115_000)),
        constant!(Factor::from_ratio_nearest(850_000, 1_000_000)),
    ),
];

const CHANNEL_FLUX_WARM: Channel = constant!(Channel::new(
    constant!(FluxTable::new(&FLUX_KNOTS_WARM)),
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 500,
        millikelvin_per_watt: 40_000,
        time_constant_ms: 10_000,
    }
));

const FLUX_KNOTS_COOL: [(Temperature, Factor); 4] = [
    // 25 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(25_000)),
        constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    ),
    // 55 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(55_000)),
        constant!(Factor::from_ratio_nearest(960_000, 1_000_000)),
    ),
    // 85 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(85_000)),
        constant!(Factor::from_ratio_nearest(920_000, 1_000_000)),
    ),
    // 115 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(115_000)),
        constant!(Factor::from_ratio_nearest(880_000, 1_000_000)),
    ),
];

const CHANNEL_FLUX_COOL: Channel = constant!(Channel::new(
    constant!(FluxTable::new(&FLUX_KNOTS_COOL)),
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 550,
        millikelvin_per_watt: 40_000,
        time_constant_ms: 10_000,
    }
));

const FLUXES: [Channel; CHANNELS] = [
    // warm
    CHANNEL_FLUX_WARM,
    // cool
    CHANNEL_FLUX_COOL,
];

/// Milliseconds from step to step of the flux correction.
pub const CORRECTION_MS: u32 = 100;

/// What it takes where the sensor says nothing sensible.
const BOARD: Temperature = constant!(Temperature::from_millicelsius_nearest(40_000));

/// Of the flux correction.
pub type Correction = milliglow::flux_correction::Configuration<CHANNELS>;

/// For an `Estimator`, which gives back what bins and temperatures take.
pub static FLUX_CORRECTION: Correction = constant!(Correction::new(FLUXES, CORRECTION_MS, BOARD));

const KNOTS_OF_GLOW: [(Level, Recipe<CHANNELS>); 8] = [
    (
        Level::from_bits(2_048),
        Recipe::new([
            Share::from_bits(0xFFFF_FFFF), // warm
            Share::from_bits(0x0FE2_FCBA), // cool
        ]),
    ),
    (
        Level::from_bits(11_118),
        Recipe::new([
            Share::from_bits(0xEEDD_15F0), // warm
            Share::from_bits(0x1CF8_F8A5), // cool
        ]),
    ),
    (
        Level::from_bits(20_187),
        Recipe::new([
            Share::from_bits(0xDDAE_3E6C), // warm
            Share::from_bits(0x2A18_2667), // cool
        ]),
    ),
    (
        Level::from_bits(29_257),
        Recipe::new([
            Share::from_bits(0xCC6C_764B), // warm
            Share::from_bits(0x3745_AE60), // cool
        ]),
    ),
    (
        Level::from_bits(38_326),
        Recipe::new([
            Share::from_bits(0xBB0D_51F8), // warm
            Share::from_bits(0x4489_B0EE), // cool
        ]),
    ),
    (
        Level::from_bits(47_396),
        Recipe::new([
            Share::from_bits(0xA981_F106), // warm
            Share::from_bits(0x51EF_73C1), // cool
        ]),
    ),
    (
        Level::from_bits(56_465),
        Recipe::new([
            Share::from_bits(0x97B6_77F7), // warm
            Share::from_bits(0x5F86_3BEF), // cool
        ]),
    ),
    (
        Level::from_bits(65_535),
        Recipe::new([
            Share::from_bits(0x8591_9AC8), // warm
            Share::from_bits(0x6D61_2C6B), // cool
        ]),
    ),
];

/// The recipe "glow" as a function of Level.
pub static RECIPE_GLOW: Knots<CHANNELS, 8> = constant!(Knots::new(KNOTS_OF_GLOW));

/// The recipe "neutral".
pub static RECIPE_NEUTRAL: Recipe<CHANNELS> = Recipe::new([
    Share::from_bits(0xFFFF_FFFF), // warm
    Share::from_bits(0xD1A3_6E2F), // cool
]);

/// The recipe "cool".
pub static RECIPE_COOL: Recipe<CHANNELS> = Recipe::new([
    Share::from_bits(0x1D37_9FA9), // warm
    Share::from_bits(0xFFFF_FFFF), // cool
]);

/// Where a fade takes the colour.
#[derive(Clone, Copy, Debug)]
pub enum Colour {
    /// Straight to one that is the same at every Level.
    Held(&'static Recipe<CHANNELS>),
    /// To one that is a function of Level.
    Along(KnotsRef<'static, CHANNELS>),
}

/// A fade of the script.
#[derive(Clone, Copy, Debug)]
pub struct Fade {
    /// In which colour it arrives, and how.
    pub colour: Colour,
    /// At which Level.
    pub level: Level,
    /// How long it takes.
    pub pace: Pace,
    /// Control steps until the next fade begins.
    pub control_steps: u32,
}

impl Fade {
    /// Sends the luminaire on its way: before the first of its control steps.
    pub fn begin(&self, luminaire: &mut Luminaire<'static, CHANNELS>) {
        let level = self.level;
        match self.colour {
            Colour::Held(&recipe) => luminaire.fade_to(&Target { level, recipe }, self.pace),
            Colour::Along(knots) => luminaire.fade_along(level, knots, self.pace),
        }
    }
}

/// Whether the script starts over when it ends.
pub const SCRIPT_LOOPS: bool = false;

/// The fades one after the other, from black.
pub static SCRIPT: [Fade; 5] = [
    // To "neutral" at Level 60840.
    Fade {
        colour: Colour::Held(&RECIPE_NEUTRAL),
        level: Level::from_bits(60_840),
        pace: Pace::new(3_000),
        control_steps: 3_000,
    },
    // To "glow" at Level 38002.
    Fade {
        colour: Colour::Along(RECIPE_GLOW.borrowed()),
        level: Level::from_bits(38_002),
        pace: Pace::new(5_000),
        control_steps: 5_000,
    },
    // To "glow" at Level 2048.
    Fade {
        colour: Colour::Along(RECIPE_GLOW.borrowed()),
        level: Level::from_bits(2_048),
        pace: Pace::new(4_000),
        control_steps: 4_000,
    },
    // To "cool" at Level 65535.
    Fade {
        colour: Colour::Held(&RECIPE_COOL),
        level: Level::from_bits(65_535),
        pace: Pace::new(6_000),
        control_steps: 6_000,
    },
    // To "cool" at Level 0.
    Fade {
        colour: Colour::Held(&RECIPE_COOL),
        level: Level::from_bits(0),
        pace: Pace::new(4_000),
        control_steps: 4_000,
    },
];
