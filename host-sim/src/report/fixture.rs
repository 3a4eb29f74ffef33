//! An invented luminaire of five channels with everything that a run and its judging would leave, for tests.

use super::Checked;
use crate::description::{
    Channel, CurveChoice, Description, Fade, LevelChoice, Modulation, Recipe, Requirements,
};
use crate::run::{FadeSpan, HeldChannel, Hold, Moment, Observed, PulseRates};
use crate::verdict::{Bound, Outcome, Verdict};

const TICK_HZ: f64 = 1e6;
const CONTROL_HZ: f64 = 1000.0;
const DEPTH: f64 = 1000.0;
const TEST_LIGHTS: [f64; 5] = [1.0, 0.5, 0.1, 0.01, 0.001];
const CHANNELS: [(&str, f64, f64, f64); 5] = [
    ("red", 420.0, 0.690, 0.308),
    ("green", 760.0, 0.190, 0.725),
    ("blue", 130.0, 0.138, 0.052),
    ("amber", 350.0, 0.570, 0.425),
    ("warm_white", 1900.0, 0.448, 0.408),
];
const SHARES: [[f64; 5]; 2] = [[0.35, 0.05, 0.01, 0.6, 1.0], [0.08, 0.3, 1.0, 0.02, 0.15]];

/// A luminaire that passes.
pub(super) fn checked() -> Checked {
    Checked {
        description: description(),
        input_digest: "5f1d7a84db00d2fce00b31a7fc73224f4a1c26c4a1c4e1b3f5a9d30f0c6f1e22".to_owned(),
        origin: "built in".to_owned(),
        observed: observed(),
        verdicts: verdicts(),
    }
}

/// The same with two failures and one figure that was not judged.
pub(super) fn failing() -> Checked {
    let mut checked = checked();
    let last = checked.verdicts.len() - 1;
    checked.verdicts[last].value = Some(41.7);
    checked.verdicts[last].outcome = Outcome::Fail;
    checked.verdicts[last].reason =
        "blue pulses 41.7 times a second at 0.1 % of evening".to_owned();
    checked.verdicts[last].remedy = Some(
        "Raise tick_hz to 2160000 or more, or raise the share of blue in evening to 0.0216, or lift \
         lowest_light to 0.00216: the pulse rate is density x tick rate, and blue holds the smallest density."
            .to_owned(),
    );
    checked.verdicts[6].value = Some(0.031);
    checked.verdicts[6].outcome = Outcome::Fail;
    checked.verdicts[6].reason = "a jump of 3.1 % when the curve leaves black".to_owned();
    checked.verdicts[6].remedy = Some("Give the curve a tail of 512 Levels.".to_owned());
    checked.verdicts[1].value = None;
    checked.verdicts[1].outcome = Outcome::NotJudged;
    checked.verdicts[1].reason = "the tick budget ended before 100 pulses were counted".to_owned();
    checked
}

/// A verdict of that value and limit that passes.
pub(super) fn verdict(id: &'static str, value: f64, limit: f64, unit: &'static str) -> Verdict {
    Verdict {
        id,
        name: id,
        at: "evening, 0.1 %".to_owned(),
        is_worst: false,
        value: Some(value),
        limit,
        bound: Bound::AtMost,
        unit,
        outcome: Outcome::Pass,
        source: "our default",
        reason: "the value keeps the limit".to_owned(),
        remedy: None,
    }
}

/// Rough points of the spectral locus in u', v', from memory.
pub(super) fn locus() -> [(f64, f64); 14] {
    [
        (0.257, 0.016),
        (0.235, 0.035),
        (0.182, 0.101),
        (0.109, 0.219),
        (0.046, 0.352),
        (0.014, 0.471),
        (0.005, 0.541),
        (0.023, 0.577),
        (0.075, 0.586),
        (0.157, 0.576),
        (0.263, 0.559),
        (0.389, 0.541),
        (0.520, 0.523),
        (0.623, 0.507),
    ]
}

fn description() -> Description {
    let channel = |(name, flux_lm, x, y): (&str, f64, f64, f64)| Channel {
        name: name.to_owned(),
        flux_lm,
        x,
        y,
        modulation: Modulation::FirstOrder,
    };
    let recipe = |(name, shares): (&str, [f64; 5])| Recipe {
        name: name.to_owned(),
        shares: shares.to_vec(),
    };
    let fade = |recipe, level, seconds| Fade {
        recipe,
        level,
        seconds,
    };
    Description {
        name: "Planetarium cove".to_owned(),
        note: Some("All figures of this luminaire are invented.".to_owned()),
        tick_hz: TICK_HZ as u32,
        tick_tolerance: 0.02,
        control_hz: CONTROL_HZ as u32,
        full_output_cd_m2: 900.0,
        seed: 1,
        curve: CurveChoice::Exponential {
            depth: DEPTH as u32,
            tail_levels: 512,
        },
        channels: CHANNELS.map(channel).to_vec(),
        recipes: [("evening", SHARES[0]), ("stars", SHARES[1])]
            .map(recipe)
            .to_vec(),
        script: vec![
            fade(0, LevelChoice::Light(1.0), 6.0),
            fade(1, LevelChoice::Light(0.01), 10.0),
            fade(1, LevelChoice::Level(0), 8.0),
        ],
        cameras: Vec::new(),
        requirements: Requirements::default(),
    }
}

fn light(level: f64) -> f64 {
    let lit = DEPTH.powf(level / 65_535.0 - 1.0);
    let tail = (level / 512.0).min(1.0);
    lit * tail * tail * (3.0 - 2.0 * tail)
}

fn observed() -> Observed {
    let curve = (0..=512_u32).map(|i| (i * 128).min(65_535) as u16);
    let holds = [0, 1]
        .into_iter()
        .flat_map(|recipe| TEST_LIGHTS.map(|light| hold(recipe, light)));
    Observed {
        flicker: Vec::new(),
        metric_maps: Vec::new(),
        bands: Vec::new(),
        sights: Vec::new(),
        curve: curve
            .map(|level| (level, light(f64::from(level))))
            .collect(),
        holds: holds.collect(),
        script: script(),
        fades: vec![
            span(0, 65_535, 0.0, 6.0),
            span(1, 21_845, 6.0, 16.0),
            span(1, 0, 16.0, 24.0),
        ],
        pulse_rates: [0, 1].map(pulse_rates).to_vec(),
    }
}

fn span(recipe: usize, level: u16, begin_s: f64, end_s: f64) -> FadeSpan {
    FadeSpan {
        recipe,
        level,
        begin_s,
        end_s,
    }
}

fn hold(recipe: usize, light: f64) -> Hold {
    let level = (65_535.0 * (1.0 + light.log(DEPTH))) as u16;
    let channels = SHARES[recipe].map(|share| held(share * light)).to_vec();
    Hold {
        recipe,
        light,
        level,
        ticks: 1_000_000,
        channels,
    }
}

fn held(density: f64) -> HeldChannel {
    let words = (0..2048_u32).map(|word| {
        let one = |tick: u32| {
            ((f64::from(tick) + 1.0) * density).floor() > (f64::from(tick) * density).floor()
        };
        (0..32).fold(0, |bits, i| bits << 1 | u32::from(one(word * 32 + i)))
    });
    let ones = (density * 1e6) as u64;
    let pulses = if density <= 0.5 {
        ones
    } else {
        1_000_000 - ones
    };
    let longest_dark_ticks = (1.0 / density).ceil() as u64 - 1;
    HeldChannel {
        target: density,
        ones,
        pulses,
        longest_dark_ticks,
        first_words: words.collect(),
    }
}

/// Level and shares of each fade move on straight lines between these: time, Level, recipe.
const STATIONS: [(f64, f64, usize); 4] = [
    (0.0, 0.0, 0),
    (6.0, 65_535.0, 0),
    (16.0, 21_845.0, 1),
    (24.0, 0.0, 1),
];

fn script() -> Vec<Moment> {
    (0..=960).map(|i| moment(f64::from(i) * 0.025)).collect()
}

fn moment(time_s: f64) -> Moment {
    let next = STATIONS
        .iter()
        .position(|station| station.0 >= time_s)
        .unwrap()
        .max(1);
    let (from, to) = (STATIONS[next - 1], STATIONS[next]);
    let part = (time_s - from.0) / (to.0 - from.0);
    let mix = |a: f64, b: f64| a + (b - a) * part;
    let level = mix(from.1, to.1);
    let share = |i: usize| mix(SHARES[from.2][i], SHARES[to.2][i]);
    let densities: Vec<_> = (0..5).map(|i| light(level) * share(i)).collect();
    let ticks = TICK_HZ / CONTROL_HZ;
    let counted = |density: &f64| ((density * ticks) + (time_s * 7919.0).fract()).floor() / ticks;
    let flux = |density_of: &dyn Fn(&f64) -> f64| -> f64 {
        densities
            .iter()
            .zip(CHANNELS)
            .map(|(density, channel)| density_of(density) * channel.1)
            .sum()
    };
    let (flux_lm, asked_flux_lm) = (flux(&counted), flux(&|density| *density));
    Moment {
        time_s,
        level: level as u16,
        flux_lm,
        asked_flux_lm,
        uv: uv(&densities),
        densities,
    }
}

fn uv(densities: &[f64]) -> Option<(f64, f64)> {
    let sums =
        densities
            .iter()
            .zip(CHANNELS)
            .fold((0.0, 0.0, 0.0), |sum, (density, (_, flux, x, y))| {
                let weight = density * flux / y;
                (sum.0 + weight * x, sum.1 + weight * y, sum.2 + weight)
            });
    let below = -2.0 * sums.0 + 12.0 * sums.1 + 3.0 * sums.2;
    (below > 0.0).then(|| (4.0 * sums.0 / below, 9.0 * sums.1 / below))
}

fn pulse_rates(recipe: usize) -> PulseRates {
    let rate = |density: f64| density.min(1.0 - density) * TICK_HZ;
    let row = |i: i32| {
        let light = 10_f64.powf(-f64::from(i) / 20.0);
        (
            light,
            SHARES[recipe]
                .iter()
                .map(|share| rate(share * light))
                .collect(),
        )
    };
    PulseRates {
        recipe,
        rows: (0..=60).map(row).collect(),
    }
}

fn verdicts() -> Vec<Verdict> {
    let named = |name, at: &str, verdict: Verdict| Verdict {
        name,
        at: at.to_owned(),
        ..verdict
    };
    let mut rows = Vec::new();
    for (at, value) in [
        ("evening, 100 %", 0.0),
        ("evening, 1 %", 2.1e-5),
        ("stars, 0.1 %", 2.124e-4),
    ] {
        rows.push(named(
            "average error",
            at,
            verdict("average_error", value, 0.001, "1"),
        ));
        rows.push(named(
            "longest dark gap",
            at,
            verdict("dark_gap", 1.0e-4 + value, 1.0 / 90.0, "s"),
        ));
    }
    let fade = "fade 2: stars to 1 % in 10 s";
    rows.push(named(
        "largest light step",
        fade,
        verdict("light_step", 0.000_76, 0.01, "1"),
    ));
    rows.push(named(
        "steps the wrong way",
        fade,
        verdict("monotony", 0.0, 0.0, "1"),
    ));
    let search = "worst: evening, Level 17, tail of the curve";
    rows.push(Verdict {
        is_worst: true,
        ..named(
            "colour shift",
            search,
            verdict("colour_shift", 2.3e-4, 0.0011, "1"),
        )
    });
    let pulse = Verdict {
        bound: Bound::AtLeast,
        ..verdict("pulse_rate", 1000.0, 90.0, "Hz")
    };
    rows.push(named(
        "lowest pulse rate",
        "worst: evening, 0.1 %, blue",
        pulse,
    ));
    rows
}
