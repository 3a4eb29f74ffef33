//! The luminaire "all kinds" for milliglow.
//!
//! Written by `milliglow emit` 0.1.0, from inputs with the SHA-256 digest
//! be535793a36b4ea80d0183020388a3cb3102df9fc1a4305cfcca528289564ed4:
//! change those and write this anew.
//!
//! "invented,"
//! "and told in two lines"
#![allow(dead_code, reason = "a firmware takes what it needs")]

use milliglow::constant;
use milliglow::curve::Curve;
use milliglow::density::{DitherWidth, Modulation, Stretch};
use milliglow::fade::Pace;
use milliglow::flux_correction::{Channel, Factor, FluxTable, Heating, Temperature};
use milliglow::luminaire::{Configuration, Lowest, Luminaire, RangeChoice, Target};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting, Settling, Table};
use milliglow::requantise::{Order, TimerPwm};
use milliglow::{Knots, KnotsRef, Level, Light, Recipe, Share};

/// Ticks a second of the streams.
pub const TICK_HZ: u32 = 1_000_000;

/// Control steps a second; each takes effect with the first word of 32 ticks that begins at or after it.
pub const CONTROL_HZ: u32 = 1_000;

/// The channels: plain, rows, dither, second-order, second_order.
pub const CHANNELS: usize = 5;

/// Seed of the dither.
pub const SEED: u32 = 4_000_000_000;

/// From Level to light.
pub const CURVE: Curve = Curve::Lightness;

const DITHER_DITHER: DitherWidth = constant!(DitherWidth::new(1));

const DITHER_SECOND_ORDER_2: DitherWidth = constant!(DitherWidth::new(2));

/// A timer's PWM.
pub const PWM_SECOND_ORDER_2: TimerPwm =
    constant!(TimerPwm::new(9, Order::Second, Some(DITHER_SECOND_ORDER_2)));

/// From density to stream, a channel each.
pub const MODULATION: [Modulation; CHANNELS] = [
    // plain
    Modulation::FirstOrder,
    // rows
    Modulation::FirstOrder,
    // dither
    Modulation::Dithered(DITHER_DITHER),
    // second-order
    Modulation::SecondOrder,
    // second_order
    Modulation::Timer(PWM_SECOND_ORDER_2),
];

const ROWS_PLAIN: [Row; 1] = [
    // From 0 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::BLACK,
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::One,
            edges: EdgeLoss::NONE,
        },
        Modulation::FirstOrder
    )),
];

/// The operating table of plain.
pub static OPERATING_PLAIN: Table = {
    let table = constant!(Table::new(&ROWS_PLAIN, 4));
    table.with_settling(Settling::Booked {
        // The time constant.
        ticks: 40,
        words: 7,
    })
};

const ROWS_ROWS: [Row; 3] = [
    // From 0 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::BLACK,
            range: 1,
            ratio: constant!(RangeRatio::from_ratio_nearest(13, 2)),
            stretch: Stretch::One,
            edges: constant!(EdgeLoss::from_ratio(-2_684_355, 67_108_864)),
        },
        Modulation::FirstOrder
    )),
    // From 9 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::from_bits(0x170A_3D71),
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::One,
            edges: constant!(EdgeLoss::from_ratio(-2_684_355, 67_108_864)),
        },
        Modulation::FirstOrder
    )),
    // From 25 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::from_bits(0x4000_0000),
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::Four,
            edges: constant!(EdgeLoss::from_ratio(-2_684_355, 67_108_864)),
        },
        Modulation::FirstOrder
    )),
];

/// The operating table of rows.
pub static OPERATING_ROWS: Table = {
    let table = constant!(Table::new(&ROWS_ROWS, 4));
    table.with_settling(Settling::Booked {
        // The time constant.
        ticks: 40,
        words: 7,
    })
};

const ROWS_DITHER: [Row; 1] = [
    // From 0 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::BLACK,
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::One,
            edges: EdgeLoss::NONE,
        },
        Modulation::Dithered(DITHER_DITHER)
    )),
];

/// The operating table of dither.
pub static OPERATING_DITHER: Table = {
    let table = constant!(Table::new(&ROWS_DITHER, 4));
    table.with_settling(Settling::Booked {
        // The time constant.
        ticks: 40,
        words: 7,
    })
};

const ROWS_SECOND_ORDER: [Row; 1] = [
    // From 0 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::BLACK,
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::One,
            edges: EdgeLoss::NONE,
        },
        Modulation::SecondOrder
    )),
];

/// The operating table of second-order.
pub static OPERATING_SECOND_ORDER: Table = {
    let table = constant!(Table::new(&ROWS_SECOND_ORDER, 4));
    table.with_settling(Settling::Booked {
        // The time constant.
        ticks: 40,
        words: 7,
    })
};

const ROWS_SECOND_ORDER_2: [Row; 1] = [
    // From 0 % of the channel's light on.
    constant!(Row::new(
        &RowSetting {
            from_light: Light::BLACK,
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::One,
            edges: EdgeLoss::NONE,
        },
        Modulation::Timer(PWM_SECOND_ORDER_2)
    )),
];

/// The operating table of second_order.
pub static OPERATING_SECOND_ORDER_2: Table = {
    let table = constant!(Table::new(&ROWS_SECOND_ORDER_2, 4));
    table.with_settling(Settling::Booked {
        // The time constant.
        ticks: 40,
        words: 7,
    })
};

/// What the luminaire is.
pub const CONFIGURATION: Configuration<'static, CHANNELS> = Configuration {
    curve: CURVE,
    modulation: MODULATION,
    operating: [
        // plain
        &OPERATING_PLAIN,
        // rows
        &OPERATING_ROWS,
        // dither
        &OPERATING_DITHER,
        // second-order
        &OPERATING_SECOND_ORDER,
        // second_order
        &OPERATING_SECOND_ORDER_2,
    ],
    range_choice: RangeChoice::Own,
    lowest: Lowest::Clamp(Light::from_bits(0x0020_C49C)),
    seed: SEED,
};

const FLUX_KNOTS_PLAIN: [(Temperature, Factor); 2] = [
    // -10 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(-10_000)),
        constant!(Factor::from_ratio_nearest(1_040_000, 1_000_000)),
    ),
    // 25 degrees Celsius
    (
        constant!(Temperature::from_millicelsius_nearest(25_000)),
        constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    ),
];

const CHANNEL_FLUX_PLAIN: Channel = constant!(Channel::new(
    constant!(FluxTable::new(&FLUX_KNOTS_PLAIN)),
    constant!(Factor::from_ratio_nearest(1_050_000, 1_000_000)),
    Heating {
        milliwatts: 2_000,
        millikelvin_per_watt: 12_000,
        time_constant_ms: 10_000,
    }
));

const CHANNEL_FLUX_ROWS: Channel = constant!(Channel::new(
    FluxTable::STEADY,
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 2_500,
        millikelvin_per_watt: 0,
        time_constant_ms: 10_000,
    }
));

const CHANNEL_FLUX_DITHER: Channel = constant!(Channel::new(
    FluxTable::STEADY,
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 0,
        millikelvin_per_watt: 0,
        time_constant_ms: 10_000,
    }
));

const CHANNEL_FLUX_SECOND_ORDER: Channel = constant!(Channel::new(
    FluxTable::STEADY,
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 0,
        millikelvin_per_watt: 0,
        time_constant_ms: 10_000,
    }
));

const CHANNEL_FLUX_SECOND_ORDER_2: Channel = constant!(Channel::new(
    FluxTable::STEADY,
    constant!(Factor::from_ratio_nearest(1_000_000, 1_000_000)),
    Heating {
        milliwatts: 0,
        millikelvin_per_watt: 0,
        time_constant_ms: 10_000,
    }
));

const FLUXES: [Channel; CHANNELS] = [
    // plain
    CHANNEL_FLUX_PLAIN,
    // rows
    CHANNEL_FLUX_ROWS,
    // dither
    CHANNEL_FLUX_DITHER,
    // second-order
    CHANNEL_FLUX_SECOND_ORDER,
    // second_order
    CHANNEL_FLUX_SECOND_ORDER_2,
];

/// Milliseconds from step to step of the flux correction.
pub const CORRECTION_MS: u32 = 100;

/// What it takes where the sensor says nothing sensible.
const BOARD: Temperature = constant!(Temperature::from_millicelsius_nearest(40_000));

/// Of the flux correction.
pub type Correction = milliglow::flux_correction::Configuration<CHANNELS>;

/// For an `Estimator`, which gives back what bins and temperatures take.
pub static FLUX_CORRECTION: Correction = constant!(UNCAPPED.with_power_cap(4_000));

const UNCAPPED: Correction = constant!(Correction::new(FLUXES, CORRECTION_MS, BOARD));

/// The recipe "even, \\ and straight".
pub static RECIPE_EVEN_AND_STRAIGHT: Recipe<CHANNELS> = Recipe::new([
    Share::from_bits(0xFFFF_FFFF), // plain
    Share::from_bits(0xC000_0000), // rows
    Share::from_bits(0x8000_0000), // dither
    Share::from_bits(0x4000_0000), // second-order
    Share::from_bits(0xE666_6666), // second_order
]);

const KNOTS_OF_EVEN_AND_STRAIGHT_2: [(Level, Recipe<CHANNELS>); 3] = [
    (
        Level::from_bits(10_000),
        Recipe::new([
            Share::from_bits(0xFFFF_FFFF), // plain
            Share::from_bits(0x3333_3333), // rows
            Share::from_bits(0x0000_0000), // dither
            Share::from_bits(0x0000_0000), // second-order
            Share::from_bits(0x4CCC_CCCD), // second_order
        ]),
    ),
    (
        Level::from_bits(49_851),
        Recipe::new([
            Share::from_bits(0x9999_999A), // plain
            Share::from_bits(0xB333_3333), // rows
            Share::from_bits(0x4CCC_CCCD), // dither
            Share::from_bits(0x6666_6666), // second-order
            Share::from_bits(0x4CCC_CCCD), // second_order
        ]),
    ),
    (
        Level::from_bits(65_535),
        Recipe::new([
            Share::from_bits(0x0000_0000), // plain
            Share::from_bits(0xFFFF_FFFF), // rows
            Share::from_bits(0xFFFF_FFFF), // dither
            Share::from_bits(0x0000_0000), // second-order
            Share::from_bits(0x0000_0000), // second_order
        ]),
    ),
];

/// The recipe "even; and straight" as a function of Level.
pub static RECIPE_EVEN_AND_STRAIGHT_2: Knots<CHANNELS, 3> =
    constant!(Knots::new(KNOTS_OF_EVEN_AND_STRAIGHT_2));

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
pub static SCRIPT: [Fade; 4] = [
    // To "even, \\ and straight" at Level 65535.
    Fade {
        colour: Colour::Held(&RECIPE_EVEN_AND_STRAIGHT),
        level: Level::from_bits(65_535),
        pace: Pace::new(400),
        control_steps: 400,
    },
    // To "even; and straight" at Level 0.
    Fade {
        colour: Colour::Along(RECIPE_EVEN_AND_STRAIGHT_2.borrowed()),
        level: Level::from_bits(0),
        pace: Pace::AT_ONCE,
        control_steps: 1,
    },
    // To "even; and straight" at Level 60085.
    Fade {
        colour: Colour::Along(RECIPE_EVEN_AND_STRAIGHT_2.borrowed()),
        level: Level::from_bits(60_085),
        pace: Pace::new(300),
        control_steps: 300,
    },
    // To "even, \\ and straight" at Level 5892.
    Fade {
        colour: Colour::Held(&RECIPE_EVEN_AND_STRAIGHT),
        level: Level::from_bits(5_892),
        pace: Pace::new(300),
        control_steps: 300,
    },
];
