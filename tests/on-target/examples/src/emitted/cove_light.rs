//! The luminaire "cove light" for milliglow.
//!
//! Written by `milliglow emit` 0.1.0, from inputs with the SHA-256 digest
//! d0038c8dc3e12138d608ac9651fbc456eb7c8682ba18ef3b3aace22c0b3e4419:
//! change those and write this anew.
//!
//! "All figures of this luminaire are invented."
#![allow(dead_code, reason = "a firmware takes what it needs")]

use milliglow::constant;
use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Modulation, Stretch};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Lowest, Luminaire, RangeChoice, Target};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting, Settling, Table};
use milliglow::{KnotsRef, Level, Light, Recipe, Share};

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

/// The recipe "evening".
pub static RECIPE_EVENING: Recipe<CHANNELS> = Recipe::new([
    Share::from_bits(0xF25B_EA0C), // red
    Share::from_bits(0xFFFF_FFFF), // green
    Share::from_bits(0x3C06_7CF2), // blue
    Share::from_bits(0xFFFF_FFFF), // amber
    Share::from_bits(0xFFFF_FFFF), // warm
]);

/// The recipe "daylight".
pub static RECIPE_DAYLIGHT: Recipe<CHANNELS> = Recipe::new([
    Share::from_bits(0x0000_0000), // red
    Share::from_bits(0xFFFF_FFFF), // green
    Share::from_bits(0xF75A_A716), // blue
    Share::from_bits(0xAC70_FBEC), // amber
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

/// A colour: the same at every Level, or a function of it.
#[derive(Clone, Copy, Debug)]
pub enum Colour {
    /// The same at every Level.
    Held(&'static Recipe<CHANNELS>),
    /// A function of Level.
    Along(KnotsRef<'static, CHANNELS>),
}

/// A fade of the script.
#[derive(Clone, Copy, Debug)]
pub struct Fade {
    /// In which colour it arrives.
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
    // To "evening" at Level 65535.
    Fade {
        colour: Colour::Held(&RECIPE_EVENING),
        level: Level::from_bits(65_535),
        pace: Pace::new(4_000),
        control_steps: 4_000,
    },
    // To "daylight" at Level 65535.
    Fade {
        colour: Colour::Held(&RECIPE_DAYLIGHT),
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
