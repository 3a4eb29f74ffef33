//! What a file says arrives as it stands, in SI units, and what it leaves out has its default.

use crate::{FULL, LEAST};
use milliglow_sim::colour::Xy;
use milliglow_sim::description::{
    Analog, BelowLowest, Board, Camera, Channel, Chip, CurveChoice, Description, Explore, Fade,
    FluxModel, Hardware, LevelChoice, Modulation, Operating, OperatingRow, Output, Recipe,
    Requirements, SetPoints, Settling, Spread, parse,
};
use milliglow_sim::optics::drivers::{
    Burst, Decay, Driver, Knot, LightDecay, OverCurrent, Ripple, Slew, SlewFigures, Supply,
    SupplyFigures,
};

fn channel(
    name: &str,
    flux_lm: f64,
    x: f64,
    y: f64,
    (modulation, rows): (Modulation, &[OperatingRow]),
) -> Channel {
    let name = name.to_owned();
    Channel {
        name,
        flux_lm,
        x,
        y,
        power_w: None,
        flux_model: FluxModel::default(),
        light_decay: LightDecay::NONE,
        over_current: None,
        modulation,
        driver: Driver::Ideal,
        rows: rows.to_vec(),
    }
}

fn row(from_light: f64, range_ratio: f64, stretch: u8) -> OperatingRow {
    OperatingRow {
        from_light,
        range_ratio,
        stretch,
        ..OperatingRow::PLAIN
    }
}

fn lower_row() -> OperatingRow {
    OperatingRow {
        current_ratio: Some(18.0),
        ..row(0.0, 16.0, 1)
    }
}

fn decay() -> LightDecay {
    let decay = Decay {
        part: 0.6,
        constant_s: 65e-9,
    };
    LightDecay::new(&[decay]).unwrap()
}

/// The knot at full current is the channel itself.
fn over_current() -> OverCurrent {
    let knots = [(0.05, 1.2, 0.47, 0.41), (1.0, 1.0, 0.468, 0.42)];
    let knots = knots.map(|(current, efficacy, x, y)| Knot {
        current,
        efficacy,
        xy: Xy { x, y },
    });
    OverCurrent::new(&knots).unwrap()
}

fn recipe(name: &str, shares: [f64; 2]) -> Recipe {
    Recipe::plain(name, shares.to_vec())
}

fn slew() -> Driver {
    let figures = SlewFigures {
        rise_s: 6e-9,
        fall_s: 5e-9,
        turn_on_delay_s: 1.5e-9,
        turn_off_delay_s: 2.5e-9,
        turn_on_charge_s: 0.5e-9,
        line_sensitivity: 0.2,
    };
    Driver::Slew(Slew::new(figures).unwrap())
}

fn supply() -> Supply {
    let figures = SupplyFigures {
        ripple: Some(Ripple {
            hz: 120.0,
            depth: 0.03,
        }),
        burst: Some(Burst {
            below_load: 0.04,
            hz: 900.0,
            depth: 0.08,
        }),
    };
    Supply::new(figures).unwrap()
}

#[test]
fn every_key_arrives_in_si_units() {
    let expected = Description {
        name: "every key".to_owned(),
        note: Some("invented".to_owned()),
        tick_hz: 100_000_000,
        tick_tolerance: 0.02,
        control_hz: 31,
        full_output_cd_m2: 250.0,
        seed: 7,
        curve: CurveChoice::Exponential {
            depth: 500,
            tail_levels: 1024,
        },
        channels: vec![
            Channel {
                driver: slew(),
                power_w: Some(3.2),
                ..channel(
                    "red",
                    180.0,
                    0.695,
                    0.3045,
                    (Modulation::Dithered { width_shift: 2 }, &[row(0.0, 1.0, 2)]),
                )
            },
            Channel {
                flux_model: FluxModel {
                    bin_factor: 1.1,
                    knots: vec![(30.0, 0.95)],
                    thermal_k_per_w: Some(12.0),
                    time_constant_s: 7.0,
                },
                light_decay: decay(),
                over_current: Some(over_current()),
                ..channel(
                    "white",
                    400.0,
                    0.468,
                    0.42,
                    (
                        Modulation::Dithered { width_shift: 1 },
                        &[lower_row(), row(0.05, 1.0, 4)],
                    ),
                )
            },
        ],
        board: Board {
            celsius: 40.0,
            power_cap_w: Some(2.5),
            flux_correction: true,
        },
        recipes: vec![recipe("evening", [0.5, 1.0]), recipe("spare", [1.0, 0.25])],
        script: vec![
            Fade {
                recipe: 0,
                level: LevelChoice::Light(0.5),
                seconds: 0.0,
                through: Vec::new(),
            },
            Fade {
                recipe: 0,
                level: LevelChoice::Level(0),
                seconds: 2.0,
                through: vec![vec![0.25, 0.5], vec![1.0, 0.125]],
            },
        ],
        script_loops: true,
        bus: None,
        cameras: vec![Camera {
            name: "phone".to_owned(),
            frame_hz: 30.0,
            rows: 720,
            line_s: 4e-5,
            exposure_s: 0.01,
            lights: vec![1.0, 0.005],
            contrast: 0.03,
        }],
        supply: supply(),
        chip: Some(Chip {
            clock_hz: 64_000_000,
            wait_states: 2,
            multiply_cycles: 32,
            ram_bytes: 16_384,
            output: Output::Shift,
            outputs: 3,
            dma_cycles: 5.5,
            interrupt_latency_s: 25e-6,
            buffer_words: 24,
            cpu_share: 0.7,
            bus_share: 0.3,
        }),
        hardware: Hardware {
            tick_hz_max: 100_000_000,
            range_ratio_max: 12.5,
        },
        operating: Operating {
            set_points: SetPoints::Own,
            hysteresis_shift: 2,
            settling_s: 1e-5,
            settling: Settling::Booked,
            edge_correction: false,
            lowest_light: 0.0005,
            below_lowest: BelowLowest::Off,
        },
        explore: Explore {
            chip_hz: Some(64_000_000),
            tick_hz_min: Some(500_000),
            tick_hz_max: Some(16_000_000),
            orders: vec![0, 1],
            dither_shifts: vec![None, Some(2)],
            timer_bits: vec![None, Some(12)],
            stretches: vec![1, 8],
            stretch_from_percent: vec![10.0],
            range_ratios: Some(vec![1.0, 12.5]),
            lower_range_below_percent: vec![50.0, 75.0],
            edge_factors: vec![0.5, 1.0],
        },
        spread: Spread {
            rise: 0.1,
            fall: 0.12,
            delay: 0.15,
            range_ratio: 0.03,
            flux: 0.07,
            chromaticity_uv: 0.003,
        },
        analog: Analog {
            offset: 0.002,
            gain: 0.02,
            sense: 0.005,
            x_a_decade: 0.004,
            y_a_decade: -0.003,
        },
        requirements: Requirements {
            lowest_light: 0.002,
            average_error: 0.003,
            light_step: 0.02,
            range_step: 0.004,
            edge_light: 0.0004,
            colour_shift: 0.0022,
            dark_gap_s: 0.02,
            pulse_hz: 80.0,
            svm: 0.5,
            pst_lm: 0.9,
            no_effect_margin: 2.0,
            seizure: 0.04,
            visibility: 1.5,
            step_jnd: 2.0,
        },
    };
    assert_eq!(parse(FULL, "full.toml").unwrap(), expected);
}

#[test]
fn what_is_left_out_has_its_documented_default() {
    let least = parse(LEAST, "least.toml").unwrap();
    assert_eq!(
        (least.note, least.tick_tolerance, least.seed),
        (None, 0.01, 1)
    );
    assert_eq!(
        least.curve,
        CurveChoice::Exponential {
            depth: 1000,
            tail_levels: 0
        }
    );
    assert!(
        least
            .channels
            .iter()
            .all(|channel| channel.modulation == Modulation::FirstOrder
                && channel.driver == Driver::Ideal
                && channel.light_decay.is_none()
                && channel.over_current.is_none())
    );
    let steady = FluxModel {
        bin_factor: 1.0,
        knots: Vec::new(),
        thermal_k_per_w: None,
        time_constant_s: 10.0,
    };
    assert!(
        least
            .channels
            .iter()
            .all(|channel| channel.flux_model == steady)
    );
    let board = Board {
        celsius: 25.0,
        power_cap_w: None,
        flux_correction: false,
    };
    assert_eq!(least.board, board);
    assert_eq!(least.supply, Supply::default());
    assert_eq!(least.chip, None);
    assert!(least.script.is_empty() && !least.script_loops);
    let defaults = Requirements {
        lowest_light: 0.001,
        average_error: 0.001,
        light_step: 0.01,
        range_step: 0.002,
        edge_light: 0.0002,
        colour_shift: 0.0011,
        dark_gap_s: 1.0 / 90.0,
        pulse_hz: 90.0,
        svm: 0.4,
        pst_lm: 1.0,
        no_effect_margin: 1.0,
        seizure: 0.05,
        visibility: 1.0,
        step_jnd: 1.0,
    };
    assert_eq!(least.requirements, defaults);
    let hardware = Hardware {
        tick_hz_max: 100_000_000,
        range_ratio_max: 1.0,
    };
    assert_eq!(least.hardware, hardware);
    let operating = Operating {
        set_points: SetPoints::Own,
        hysteresis_shift: 3,
        settling_s: 0.0,
        settling: Settling::DarkPause,
        edge_correction: true,
        lowest_light: 0.0,
        below_lowest: BelowLowest::Hold,
    };
    assert_eq!(least.operating, operating);
    let explore = Explore {
        chip_hz: None,
        tick_hz_min: None,
        tick_hz_max: None,
        orders: vec![1, 2],
        dither_shifts: vec![None],
        timer_bits: vec![None],
        stretches: vec![1, 2, 4, 8, 16],
        stretch_from_percent: vec![5.0, 20.0],
        range_ratios: None,
        lower_range_below_percent: vec![80.0],
        edge_factors: vec![1.0],
    };
    assert_eq!(least.explore, explore);
    let rows = least.channels.into_iter().map(|channel| channel.rows);
    assert!(rows.into_iter().all(|rows| rows == [OperatingRow::PLAIN]));
}

/// One way to write something, and another that must mean the same.
const SAME: [(&str, &str); 9] = [
    ("\n", "\r\n"),
    ("schema", "\u{feff}schema"),
    ("tick_hz = 1_000_000", "tick_hz = 0xF4240"),
    ("full_output_cd_m2 = 400.0", "full_output_cd_m2 = 400"),
    (
        "full_output_cd_m2 = 400.0",
        "full_output_cd_m2 = 4e2\ncurve.kind = \"exponential\"\ncurve.depth = 1_000",
    ),
    (
        "{ red = 0.5, white = 1.0 }",
        "{\n  red = 0.5, # TOML 1.1\n  white = 1,\n}",
    ),
    (
        "evening = { red = 0.5, white = 1.0 }",
        "\"evening\".red = 0.5\nevening.white = 1.0",
    ),
    (
        "[recipes]\nevening = { red = 0.5, white = 1.0 }",
        "[recipes.evening]\nred = 0.5\nwhite = 1.0",
    ),
    (
        "white = 1.0 }",
        "white = +1.0 }\n[modulation]\norder = 1\n[requirements]\n",
    ),
];

#[test]
fn other_spellings_mean_the_same() {
    let least = parse(LEAST, "least.toml").unwrap();
    for (one, other) in SAME {
        let mut text = LEAST.replace(one, other);
        assert_ne!(text, LEAST, "{one}");
        if other.contains("curve.kind") {
            text = text.replace("[curve]\nkind = \"exponential\"\ndepth = 1_000\n", "");
        }
        if one == "schema" {
            text = LEAST.replacen(one, other, 1);
        }
        assert_eq!(parse(&text, "same.toml").unwrap(), least, "{text}");
    }
}

#[test]
fn channels_may_be_an_array_of_inline_tables() {
    let (before, rest) = LEAST.split_once("[[channels]]").unwrap();
    let (_, recipes) = rest.split_once("[recipes]").unwrap();
    let (top, curve) = before.split_once("[curve]").unwrap();
    let channels = "channels = [
        { name = \"red\", flux_lm = 180, x = 0.695, y = 0.3045 },
        { name = \"white\", flux_lm = 400, x = 0.468, y = 0.42 },
    ]";
    let text = format!("{top}{channels}\n[curve]{curve}[recipes]{recipes}");
    assert_eq!(
        parse(&text, "inline.toml").unwrap(),
        parse(LEAST, "least.toml").unwrap()
    );
}

#[test]
fn curves_without_depth() {
    let with = |kind: &str| {
        let text = LEAST.replace("kind = \"exponential\"\ndepth = 1_000", kind);
        parse(&text, "curve.toml").unwrap().curve
    };
    assert_eq!(with("kind = \"lightness\""), CurveChoice::Lightness);
    assert_eq!(with("kind = \"linear\""), CurveChoice::Linear);
}

const fn timer(bits: u8, order: u8, width_shift: Option<u8>) -> Modulation {
    Modulation::Timer {
        bits,
        order,
        width_shift,
    }
}

/// `[modulation]` and the red channel's own keys, and what comes of them.
const MODULATIONS: [(&str, &str, Modulation); 12] = [
    ("timer_bits = 12\norder = 0", "", timer(12, 0, None)),
    (
        "timer_bits = 12\ndither_steps = 0.5",
        "order = 2\ntimer_bits = 16",
        timer(16, 2, Some(1)),
    ),
    ("order = 2", "timer_bits = 8", timer(8, 2, None)),
    ("timer_bits = 12", "timer_bits = 0", Modulation::FirstOrder),
    ("", "order = 2", Modulation::SecondOrder),
    (
        "",
        "dither_steps = 1",
        Modulation::Dithered { width_shift: 0 },
    ),
    (
        "",
        "dither_steps = 0.00390625",
        Modulation::Dithered { width_shift: 8 },
    ),
    ("order = 2", "", Modulation::SecondOrder),
    ("order = 2", "order = 1", Modulation::FirstOrder),
    (
        "order = 2",
        "order = 1\ndither_steps = 0.5",
        Modulation::Dithered { width_shift: 1 },
    ),
    ("dither_steps = 0.5", "order = 2", Modulation::SecondOrder),
    (
        "dither_steps = 0.5",
        "dither_steps = 0",
        Modulation::FirstOrder,
    ),
];

#[test]
fn a_channel_overrides_the_common_modulation() {
    for (common, own, expected) in MODULATIONS {
        let own = format!("name = \"red\"\n{own}");
        let text = LEAST.replace("name = \"red\"", &own) + "[modulation]\n" + common;
        let found = parse(&text, "modulation.toml").unwrap().channels[0].modulation;
        assert_eq!(found, expected, "[modulation] {common}, channel {own}");
    }
}

#[test]
fn recipes_keep_the_order_of_the_file() {
    let text = LEAST.to_owned() + "zenith = { red = 1 }\nbreak = { white = 1 }\n";
    let recipes = parse(&text, "recipes.toml").unwrap().recipes;
    assert_eq!(
        recipes[1..],
        [recipe("zenith", [1.0, 0.0]), recipe("break", [0.0, 1.0])]
    );
}

#[test]
fn knots_arrive_lowest_first_with_straight_lines_between() {
    let text = LEAST.replace(
        "evening = { red = 0.5, white = 1.0 }",
        "evening = { knots = [{ light_percent = 100.0, white = 1.0 }, { level = 15_535, red = 0.5, white = 0.2 }] }",
    );
    let description = parse(&text, "my.toml").unwrap();
    let recipe = &description.recipes[0];
    let levels: Vec<u16> = recipe.knots.iter().map(|knot| knot.level).collect();
    assert_eq!(levels, [15_535, 65_535]);
    assert_eq!(recipe.shares, [0.0, 1.0]);
    assert_eq!(*recipe.shares_at(65_535.0), [0.0, 1.0]);
    assert_eq!(*recipe.shares_at(0.0), [0.5, 0.2]);
    let half = recipe.shares_at(40_535.0);
    assert!((half[0] - 0.25).abs() < 1e-12 && (half[1] - 0.6).abs() < 1e-12);
}
