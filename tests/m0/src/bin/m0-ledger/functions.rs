//! The functions that luminaires are made of, and peers: with which inputs they are called.

use std::ops::Range;

use milliglow_m0::{Cost, Fault, Machine};

use crate::bench::{Item, worst};

const PER_MILLE: u32 = u32::MAX / 1_000;

/// The item's name, the function that it calls, and how.
type Called = (&'static str, String, Box<Item<'static>>);

fn called(
    item: &'static str,
    function: impl Into<String>,
    run: impl Fn(&mut Machine, &str) -> Result<Cost, Fault> + 'static,
) -> Called {
    let function = function.into();
    let name = function.clone();
    (item, function, Box::new(move |machine| run(machine, &name)))
}

/// A function of one number, over all that are given.
fn over(item: &'static str, inputs: impl Iterator<Item = u32> + Clone + 'static) -> Called {
    called(item, item, move |machine, function| {
        worst(inputs.clone().map(|input| machine.call(function, &[input])))
    })
}

/// Levels on an exponential curve of 1:1000 with a tail over 2048 Levels, which lies in RAM.
fn curve(item: &'static str, levels: Range<u32>) -> Called {
    called(item, "curve_exponential", move |machine, function| {
        let curve = machine.allocate(64)?;
        machine.call("curve_new", &[curve])?;
        worst(
            levels
                .clone()
                .map(|level| machine.call(function, &[curve, level])),
        )
    })
}

/// A function of two fractions, over pairs spread evenly and over the ends.
fn over_pairs(item: &'static str) -> Called {
    let ends = [(0, 0), (0, u32::MAX), (u32::MAX, u32::MAX)];
    let spread = (1..4_000_u32).map(|k| (k.wrapping_mul(0x9E37_79B9), k.wrapping_mul(0x85EB_CA6B)));
    let pairs: Vec<(u32, u32)> = ends.into_iter().chain(spread).collect();
    called(item, item, move |machine, function| {
        worst(pairs.iter().map(|&(a, b)| machine.call(function, &[a, b])))
    })
}

/// A modulator's words, eight calls of one density.
fn words(item: &'static str, modulator: &str, drawn: &str, density: u32) -> Called {
    let new = format!("{modulator}_new");
    called(
        item,
        format!("{modulator}_{drawn}"),
        move |machine, function| {
            let (state, noise) = (machine.allocate(64)?, machine.allocate(8)?);
            let buffer = machine.allocate(4 * 128)?;
            machine.call(&new, &[state, 0])?;
            machine.write_words(noise, &[1])?;
            worst((0..8).map(|_| machine.call(function, &[state, density, buffer, noise])))
        },
    )
}

/// A modulator's 32 words in decisions of so many ticks, what an edge takes in 2^-31 decisions of them, eight calls.
fn decided(item: &'static str, modulator: &str, density: u32, decision: u32) -> Called {
    let (new, function) = (format!("{modulator}_new"), format!("{modulator}_fill_as"));
    called(item, function, move |machine, function| {
        let (state, buffer) = (machine.allocate(64)?, machine.allocate(4 * 32)?);
        machine.call(&new, &[state, 0])?;
        worst((0..8).map(|_| machine.call(function, &[state, density, buffer, decision])))
    })
}

/// Duties of 12 bits, plain first order (0) or second order with dither (1).
fn duty(item: &'static str, order: u32) -> Called {
    called(item, "next_duty", move |machine, function| {
        let (state, noise) = (machine.allocate(16)?, machine.allocate(8)?);
        machine.call("requantiser_new", &[state, order])?;
        machine.write_words(noise, &[1])?;
        let density = |k: u32| k.wrapping_mul(0x9E37_79B9);
        worst((0..500).map(|k| machine.call(function, &[state, density(k), noise])))
    })
}

/// First order: so many words into a buffer, eight calls.
fn fill(item: &'static str, density: u32, count: u32) -> Called {
    called(item, "first_order_fill", move |machine, function| {
        let (state, buffer) = (machine.allocate(64)?, machine.allocate(4 * 128)?);
        machine.call("first_order_new", &[state, 0])?;
        worst((0..8).map(|_| machine.call(function, &[state, density, buffer, count])))
    })
}

/// 16 values on their way up and down over so many control steps.
struct Fades {
    steps: u32,
    /// Control steps taken of each fade.
    taken: u32,
}

impl Fades {
    /// Calls of `fade_start_16` and of `fade_step_16`.
    fn run(&self, machine: &mut Machine) -> Result<[Cost; 2], Fault> {
        let size = machine.call("size_of_fade", &[])?.results[0];
        let (fade, values) = (machine.allocate(size)?, machine.allocate(64)?);
        machine.write_words(values, &[0; 16])?;
        machine.call("fade_new", &[fade, values])?;
        let (mut starts, mut steps) = (Vec::new(), Vec::new());
        for factor in [0x9E37_79B9_u32, 0x85EB_CA6B, 0xC2B2_AE35] {
            let targets: Vec<u32> = (1..17).map(|k| factor.wrapping_mul(k)).collect();
            machine.write_words(values, &targets)?;
            starts.push(machine.call("fade_start_16", &[fade, values, self.steps]));
            steps.extend((0..self.taken).map(|_| machine.call("fade_step_16", &[fade])));
        }
        Ok([worst(starts)?, worst(steps)?])
    }
}

fn fade_start(item: &'static str, steps: u32) -> Called {
    let fades = Fades { steps, taken: 50 };
    called(item, "fade_start_16", move |machine, _| {
        Ok(fades.run(machine)?[0])
    })
}

fn fade_step(item: &'static str, steps: u32) -> Called {
    let fades = Fades { steps, taken: 50 };
    called(item, "fade_step_16", move |machine, _| {
        Ok(fades.run(machine)?[1])
    })
}

fn pace() -> Called {
    called("pace_new", "pace_new", |machine, function| {
        let pace = machine.allocate(8)?;
        worst((0..32).map(|k| machine.call(function, &[pace, u32::MAX >> k])))
    })
}

/// Sixteen values at a time, a value: in a loop of its own no call frame is counted, but its load and its store.
fn values(item: &'static str, function: &'static str, bits: u32) -> Called {
    called(item, function, move |machine, function| {
        let (curve, values) = (machine.allocate(64)?, machine.allocate(64)?);
        machine.call("values_curve_new", &[curve])?;
        let first = if function == "values_curve_16" {
            curve
        } else {
            0x9E37_79B9
        };
        let turn = |k: u32| {
            let given: Vec<u32> = (1..17)
                .map(|n| (16 * k + n).wrapping_mul(0x85EB_CA6B) >> (32 - bits))
                .collect();
            machine.write_words(values, &given)?;
            let mut cost = machine.call(function, &[first, values])?;
            (cost.instructions, cost.cycles) = (cost.instructions / 16, cost.cycles / 16);
            Ok(cost)
        };
        worst((0..500).map(turn))
    })
}

/// Of the firmware of values.
pub(crate) fn of_values() -> Vec<Called> {
    vec![
        values("curve_exponential_inline", "values_curve_16", 16),
        values("share_of_light_inline", "values_share_16", 32),
    ]
}

/// Beside the whole luminaires.
pub(crate) fn other_curves() -> Vec<Called> {
    vec![
        over("curve_lightness", 0..65_536),
        over("curve_linear", 0..65_536),
        over("curve_control_level", 1..255),
    ]
}

/// Of the firmware of parts.
pub(crate) fn ours() -> Vec<Called> {
    let (first, second, dithered) = ("first_order", "second_order", "dithered");
    let (half, full) = (1 << 31, u32::MAX);
    vec![
        curve("curve_exponential", 2_049..65_536),
        curve("curve_tail", 0..2_049),
        over_pairs("share_of_light"),
        pace(),
        fade_step("fade_step_16", 777),
        fade_step("fade_step_16_long", 70_000),
        fade_start("fade_start_16", 777),
        fade_start("fade_start_16_long", 70_000),
        words("first_order_word", first, "word", PER_MILLE),
        fill("first_order_fill_32", PER_MILLE, 32),
        fill("first_order_fill_64", PER_MILLE, 64),
        fill("first_order_fill_128", PER_MILLE, 128),
        fill("first_order_fill_32_dark", 0, 32),
        fill("first_order_fill_32_twentieth", full / 20, 32),
        fill("first_order_fill_32_half", half, 32),
        fill("first_order_fill_32_full", full, 32),
        decided("first_order_fill_32_stretch_1", first, PER_MILLE, 1),
        decided("first_order_fill_32_stretch_4", first, PER_MILLE, 4),
        words("second_order_fill_32", second, "fill_32", PER_MILLE),
        words("second_order_fill_32_half", second, "fill_32", half),
        decided("second_order_fill_32_booked", second, half, 1 | 1 << 28),
        duty("next_duty", 0),
        duty("next_duty_second_order", 1),
        words("dithered_fill_32", dithered, "fill_32", PER_MILLE),
        words("dithered_fill_32_half", dithered, "fill_32", half),
    ]
}

/// Of the peers' firmware.
pub(crate) fn of_peers() -> Vec<Called> {
    let every_17th = (1..65_536).step_by(17);
    vec![
        over("peer_libm_exp2f", every_17th.clone()),
        over("peer_micromath_exp", every_17th.clone()),
        over("peer_cordic_exp", every_17th),
        over_pairs("peer_fixed_product"),
        words("peer_idsp_word", "peer_idsp", "word", PER_MILLE),
    ]
}
