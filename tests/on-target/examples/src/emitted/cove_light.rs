//! The luminaire "cove light" for milliglow.
//!
//! Written by `milliglow emit` 0.1.0, from inputs with the SHA-256 digest
//! 0a4ff55ebef1a7891586e16646160704ad44f71927405c9059718d30a644a2e0:
//! change those and write this anew.
//!
//! "All figures of this luminaire are invented."
#![allow(dead_code, reason = "a firmware takes what it needs")]

use milliglow::constant;
use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Modulation, Stretch};
use milliglow::fade::Pace;
use milliglow::flux_correction::{Channel, Factor, FluxTable, Heating, Temperature};
use milliglow::luminaire::{Configuration, Lowest, Luminaire, RangeChoice, Target};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting, Settling, Table};
use milliglow::{KnotsRef, Level, Light, Path, Recipe, Share};

/// Ticks a second of the streams.
pub const TICK_HZ: u32 = 750_000;

/// Control steps a second; each takes effect with the first word of 32 ticks that begins at or after it.
pub const CONTROL_HZ: u32 = 1_000;

/// The channels: red, green, blue, amber, warm.
pub const CHANNELS: usize = 5;

/// Seed of the dither.
pub const SEED: u32 = 1;

/// From Level to light.
pub const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 4_096)));

/// From density to stream, a channel each.
pub const MODULATION: [Modulation; CHANNELS] = [
    // red
    Modulation::FirstOrder,
    // green
    Modulation::FirstOrder,
    // blue
    Modulation::FirstOrder,
    // amber
    Modulation::FirstOrder,
    // warm
    Modulation::FirstOrder,
];

const ROWS_RED: [Row; 3] = [
    // From 0 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::BLACK,
            range: 1,
            ratio: constant!(RangeRatio::from_ratio_nearest(8, 1)),
            stretch: Stretch::One,
            edges: constant!(EdgeLoss::from_ratio(1_006_633, 33_554_432)),
        },
        Modulation::FirstOrder
    )),
    // From 10 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::from_bits(0x1999_999A),
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::One,
            edges: constant!(EdgeLoss::from_ratio(1_006_633, 33_554_432)),
        },
        Modulation::FirstOrder
    )),
    // From 30 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::from_bits(0x4CCC_CCCD),
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::Two,
            edges: constant!(EdgeLoss::from_ratio(1_006_633, 33_554_432)),
        },
        Modulation::FirstOrder
    )),
];

/// The operating table of red, green, blue, amber, warm.
pub static OPERATING_RED: Table = {
    let table = constant!(Table::new(&ROWS_RED, 3));
    table.with_settling(Settling::Dark { words: 1 })
};

/// What the luminaire is.
pub const CONFIGURATION: Configuration<'static, CHANNELS> = Configuration {
    curve: CURVE,
    modulation: MODULATION,
    operating: [
        // red
        &OPERATING_RED,
        // green
        &OPERATING_RED,
        // blue
        &OPERATING_RED,
        // amber
        &OPERATING_RED,
        // warm
        &OPERATING_RED,
    ],
    range_choice: RangeChoice::Own,
    lowest: Lowest::Any,
    seed: SEED,
};

const FLUX_KNOTS_RED: [(Temperature, Factor); 4] = [
    // 25 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(25_000)),
        constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    ),
    // 55 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(55_000)),
        constant!(Factor::from_ratio_nearest(800_000, 1_000_000)),
    ),
    // 85 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(85_000)),
        constant!(Factor::from_ratio_nearest(640_000, 1_000_000)),
    ),
    // 115 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(115_000)),
        constant!(Factor::from_ratio_nearest(510_000, 1_000_000)),
    ),
];

const CHANNEL_FLUX_RED: Channel = constant!(Channel::new(
    constant!(FluxTable::new(&FLUX_KNOTS_RED)),
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 3_200,
        millikelvin_per_watt: 10_000,
        time_constant_ms: 8_000,
    }
));

const FLUX_KNOTS_GREEN: [(Temperature, Factor); 4] = [
    // 25 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(25_000)),
        constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    ),
    // 55 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(55_000)),
        constant!(Factor::from_ratio_nearest(930_000, 1_000_000)),
    ),
    // 85 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(85_000)),
        constant!(Factor::from_ratio_nearest(860_000, 1_000_000)),
    ),
    // 115 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(115_000)),
        constant!(Factor::from_ratio_nearest(800_000, 1_000_000)),
    ),
];

const CHANNEL_FLUX_GREEN: Channel = constant!(Channel::new(
    constant!(FluxTable::new(&FLUX_KNOTS_GREEN)),
    constant!(Factor::from_ratio_nearest(950_000, 1_000_000)),
    Heating {
        milliwatts: 4_800,
        millikelvin_per_watt: 6_000,
        time_constant_ms: 8_000,
    }
));

const FLUX_KNOTS_BLUE: [(Temperature, Factor); 4] = [
    // 25 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(25_000)),
        constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    ),
    // 55 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(55_000)),
        constant!(Factor::from_ratio_nearest(970_000, 1_000_000)),
    ),
    // 85 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(85_000)),
        constant!(Factor::from_ratio_nearest(940_000, 1_000_000)),
    ),
    // 115 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(115_000)),
        constant!(Factor::from_ratio_nearest(910_000, 1_000_000)),
    ),
];

const CHANNEL_FLUX_BLUE: Channel = constant!(Channel::new(
    constant!(FluxTable::new(&FLUX_KNOTS_BLUE)),
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 2_900,
        millikelvin_per_watt: 10_000,
        time_constant_ms: 8_000,
    }
));

const FLUX_KNOTS_AMBER: [(Temperature, Factor); 4] = [
    // 25 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(25_000)),
        constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    ),
    // 55 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(55_000)),
        constant!(Factor::from_ratio_nearest(730_000, 1_000_000)),
    ),
    // 85 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(85_000)),
        constant!(Factor::from_ratio_nearest(530_000, 1_000_000)),
    ),
    // 115 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(115_000)),
        constant!(Factor::from_ratio_nearest(390_000, 1_000_000)),
    ),
];

const CHANNEL_FLUX_AMBER: Channel = constant!(Channel::new(
    constant!(FluxTable::new(&FLUX_KNOTS_AMBER)),
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 3_600,
        millikelvin_per_watt: 9_000,
        time_constant_ms: 8_000,
    }
));

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
        milliwatts: 4_000,
        millikelvin_per_watt: 7_500,
        time_constant_ms: 8_000,
    }
));

const FLUXES: [Channel; CHANNELS] = [
    // red
    CHANNEL_FLUX_RED,
    // green
    CHANNEL_FLUX_GREEN,
    // blue
    CHANNEL_FLUX_BLUE,
    // amber
    CHANNEL_FLUX_AMBER,
    // warm
    CHANNEL_FLUX_WARM,
];

/// Milliseconds from step to step of the flux correction.
pub const CORRECTION_MS: u32 = 100;

/// What it takes where the sensor says nothing sensible.
const BOARD: Temperature = constant!(Temperature::from_millicelsius_nearest(45_000));

/// Of the flux correction.
pub type Correction = milliglow::flux_correction::Configuration<CHANNELS>;

/// For an `Estimator`, which gives back what bins and temperatures take.
pub static FLUX_CORRECTION: Correction = constant!(UNCAPPED.with_power_cap(12_000));

const UNCAPPED: Correction = constant!(Correction::new(FLUXES, CORRECTION_MS, BOARD));

/// The recipe "evening".
pub static RECIPE_EVENING: Recipe<CHANNELS> = Recipe::new([
    Share::from_bits(0xCBFE_6D59), // red
    Share::from_bits(0xD27D_028A), // green
    Share::from_bits(0x2FDA_9436), // blue
    Share::from_bits(0xD27D_028A), // amber
    Share::from_bits(0xD27D_028A), // warm
]);

/// The recipe "daylight".
pub static RECIPE_DAYLIGHT: Recipe<CHANNELS> = Recipe::new([
    Share::from_bits(0x1652_96A6), // red
    Share::from_bits(0xFFFF_FFFF), // green
    Share::from_bits(0xFFFF_FFFF), // blue
    Share::from_bits(0x96B2_28DD), // amber
    Share::from_bits(0xFFFF_FFFF), // warm
]);

/// The recipe "seats".
pub static RECIPE_SEATS: Recipe<CHANNELS> = Recipe::new([
    Share::from_bits(0xFFFF_FFFF), // red
    Share::from_bits(0x9CC9_FB61), // green
    Share::from_bits(0x0F80_57A9), // blue
    Share::from_bits(0xFFFF_FFFF), // amber
    Share::from_bits(0xFFFF_FFFF), // warm
]);

/// Where a fade takes the colour.
#[derive(Clone, Copy, Debug)]
pub enum Colour {
    /// Straight to one that is the same at every Level.
    Held(&'static Recipe<CHANNELS>),
    /// To one that is a function of Level.
    Along(KnotsRef<'static, CHANNELS>),
    /// Through recipes on the way.
    Through(&'static Path<CHANNELS, 7>),
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
            Colour::Through(path) => luminaire.fade_through(level, path),
        }
    }
}

const LEGS_OF_FADE_2: [(Recipe<CHANNELS>, u32); 7] = [
    (
        Recipe::new([
            Share::from_bits(0xA748_0A5B), // red
            Share::from_bits(0xD88E_4756), // green
            Share::from_bits(0x3FF1_9503), // blue
            Share::from_bits(0xD88E_4756), // amber
            Share::from_bits(0xD88E_4756), // warm
        ]),
        857,
    ),
    (
        Recipe::new([
            Share::from_bits(0x8390_85F5), // red
            Share::from_bits(0xDE34_CA0C), // green
            Share::from_bits(0x5383_AD9F), // blue
            Share::from_bits(0xDE34_CA0C), // amber
            Share::from_bits(0xDE34_CA0C), // warm
        ]),
        857,
    ),
    (
        Recipe::new([
            Share::from_bits(0x611C_6D1E), // red
            Share::from_bits(0xE358_6CA9), // green
            Share::from_bits(0x6B37_75B8), // blue
            Share::from_bits(0xE358_6CA9), // amber
            Share::from_bits(0xE358_6CA9), // warm
        ]),
        857,
    ),
    (
        Recipe::new([
            Share::from_bits(0x403E_425B), // red
            Share::from_bits(0xE7DD_00F7), // green
            Share::from_bits(0x87CA_7504), // blue
            Share::from_bits(0xE7DD_00F7), // amber
            Share::from_bits(0xE7DD_00F7), // warm
        ]),
        857,
    ),
    (
        Recipe::new([
            Share::from_bits(0x215A_187A), // red
            Share::from_bits(0xEBA1_E3EB), // green
            Share::from_bits(0xAA0B_8067), // blue
            Share::from_bits(0xEBA1_E3EB), // amber
            Share::from_bits(0xEBA1_E3EB), // warm
        ]),
        857,
    ),
    (
        Recipe::new([
            Share::from_bits(0x04E9_7A82), // red
            Share::from_bits(0xEE82_2FF1), // green
            Share::from_bits(0xD2C8_B439), // blue
            Share::from_bits(0xEE82_2FF1), // amber
            Share::from_bits(0xEE82_2FF1), // warm
        ]),
        857,
    ),
    (
        Recipe::new([
            Share::from_bits(0x1652_96A6), // red
            Share::from_bits(0xFFFF_FFFF), // green
            Share::from_bits(0xFFFF_FFFF), // blue
            Share::from_bits(0x96B2_28DD), // amber
            Share::from_bits(0xFFFF_FFFF), // warm
        ]),
        858,
    ),
];

/// The way of fade 2.
pub static PATH_OF_FADE_2: Path<CHANNELS, 7> = constant!(Path::new(&LEGS_OF_FADE_2));

/// Whether the script starts over when it ends.
pub const SCRIPT_LOOPS: bool = false;

/// The fades one after the other, from black.
pub static SCRIPT: [Fade; 5] = [
    // To "evening" at Level 65535.
    Fade {
        colour: Colour::Held(&RECIPE_EVENING),
        level: Level::from_bits(65_535),
        pace: Pace::new(4_000),
        control_steps: 4_000,
    },
    // To "daylight" at Level 65535.
    Fade {
        colour: Colour::Through(&PATH_OF_FADE_2),
        level: Level::from_bits(65_535),
        pace: Pace::new(6_000),
        control_steps: 6_000,
    },
    // To "seats" at Level 4096.
    Fade {
        colour: Colour::Held(&RECIPE_SEATS),
        level: Level::from_bits(4_096),
        pace: Pace::new(8_000),
        control_steps: 8_000,
    },
    // To "seats" at Level 4096.
    Fade {
        colour: Colour::Held(&RECIPE_SEATS),
        level: Level::from_bits(4_096),
        pace: Pace::new(24_000),
        control_steps: 24_000,
    },
    // To "seats" at Level 0.
    Fade {
        colour: Colour::Held(&RECIPE_SEATS),
        level: Level::from_bits(0),
        pace: Pace::new(8_000),
        control_steps: 8_000,
    },
];
