//! What a receiver makes of a console's fade and jump, on a good line and on bad ones: for the report's drawing.

use milliglow::Level;
use milliglow::bus::dmx512::{Configuration, OnLoss, Role, Row, Slots, Width};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg32;

use crate::description::{Description, Receiver};
use crate::metrics::flicker::pst_lm::PstLm;
use crate::run::core_curve;

/// 512 slots: 44.1 packets a second.
const INTERVAL_S: f64 = 0.022_676;
const JITTER_S: f64 = 0.002;
const LOST: f64 = 0.05;
/// Time before the fade or the jump.
const BEFORE_S: f64 = 3.0;
/// Time after it.
const AFTER_S: f64 = 3.0;
/// A fade over all values of 8 bits.
pub const FADE_S: f64 = 30.0;
const METER_HZ: u32 = 2_000;

/// A line between console and receiver.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineState {
    /// Every packet in time.
    Good,
    /// Late by up to 2 ms.
    Jittered,
    /// The same, and one packet in twenty lost.
    Lossy,
}

/// A value of 8 or 16 bits over a line.
#[derive(Clone, Debug)]
pub struct Smoothed {
    /// Bits of the value.
    pub bits: u8,
    /// Its line.
    pub line: LineState,
    /// Level over time, in s after the start of the fade.
    pub fade: Vec<(f64, f64)>,
    /// Level over time, in s after the jump was sent.
    pub jump: Vec<(f64, f64)>,
    /// PstLM of the light over the ideal light as much later as the receiver says, through the fade with both its corners.
    pub pst_lm: Option<f64>,
}

/// What the console sends, without rounding, at a time after the start of the fade: full is 1.
#[must_use]
pub fn fade_place(time_s: f64) -> f64 {
    (1.0 + 254.0 * (time_s / FADE_S).clamp(0.0, 1.0)) / 255.0
}

/// A jump over almost all.
fn jump_place(time_s: f64) -> f64 {
    if time_s < 0.0 { 0.1 } else { 1.0 }
}

/// 8 and 16 bits on the three lines, by the settings of a receiver.
#[must_use]
pub fn smoothed(description: &Description, set: &Receiver) -> Vec<Smoothed> {
    let lines = [LineState::Good, LineState::Jittered, LineState::Lossy];
    let all = [8, 16]
        .into_iter()
        .flat_map(|bits| lines.map(|line| (bits, line)));
    all.map(|(bits, line)| {
        let play = |seconds, place| played(description, set, bits, line, seconds, place);
        let fade = play(FADE_S + AFTER_S, fade_place);
        Smoothed {
            bits,
            line,
            pst_lm: severity(description, &fade, delay_s(set, bits)),
            fade,
            jump: play(0.5, jump_place),
        }
    })
    .collect()
}

/// How much later the light is than asked: a packet, and what a creep of 8 bits waits for.
#[must_use]
pub fn delay_s(set: &Receiver, bits: u8) -> f64 {
    let ahead = (f64::from(set.creep_ms) / 1e3 / INTERVAL_S)
        .round()
        .min(31.0);
    INTERVAL_S * if bits == 8 { 1.0 + ahead } else { 1.0 }
}

fn played(
    description: &Description,
    set: &Receiver,
    bits: u8,
    line: LineState,
    seconds: f64,
    place: fn(f64) -> f64,
) -> Vec<(f64, f64)> {
    let mut slots = slots(description, set, bits);
    let mut random = Pcg32::seed_from_u64(512);
    let hz = f64::from(description.control_hz);
    let mut sent = 0_u32;
    let mut next = arrival(line, sent, &mut random);
    (0..((BEFORE_S + seconds) * hz) as u32)
        .map(|step| {
            let now_s = f64::from(step) / hz;
            while next.0 <= now_s {
                if next.1 {
                    let position = place(f64::from(sent) * INTERVAL_S - BEFORE_S);
                    let _ = slots.packet(&packet(bits, position), (next.0 * 1e6) as u32);
                }
                sent += 1;
                next = arrival(line, sent, &mut random);
            }
            slots.control_step();
            (now_s - BEFORE_S, f64::from(slots.level().to_bits()))
        })
        .collect()
}

/// When a packet comes, and whether it does.
fn arrival(line: LineState, number: u32, random: &mut Pcg32) -> (f64, bool) {
    let late_s = random.random_range(0.0..JITTER_S);
    let is_lost = number > 0 && random.random_bool(LOST);
    let at_s = f64::from(number) * INTERVAL_S;
    match line {
        LineState::Good => (at_s, true),
        LineState::Jittered => (at_s + late_s, true),
        LineState::Lossy => (at_s + late_s, !is_lost),
    }
}

fn packet(bits: u8, position: f64) -> Vec<u8> {
    if bits == 8 {
        return vec![0, (position * 255.0).round() as u8];
    }
    let [coarse, fine] = ((position * 65_535.0).round() as u16).to_be_bytes();
    vec![0, coarse, fine]
}

fn slots(description: &Description, set: &Receiver, bits: u8) -> Slots<1> {
    let width = if bits == 8 {
        Width::Coarse
    } else {
        Width::CoarseFine
    };
    Slots::new(&Configuration {
        rows: [Row {
            slot: 1,
            width,
            role: Role::Level,
        }],
        start: [0],
        control_hz: description.control_hz as u16,
        creep_ms: set.creep_ms,
        loss_ms: set.loss_ms,
        on_loss: OnLoss::Hold,
    })
    .expect("validated settings")
}

/// From a second before the fade on; the meter settles on the mean.
fn severity(description: &Description, fade: &[(f64, f64)], delay_s: f64) -> Option<f64> {
    let curve = core_curve(description.curve);
    let light = |level: f64| curve.light(Level::from_bits(level.round() as u16)).as_f64();
    let repeats = METER_HZ.div_ceil(description.control_hz).max(1);
    let rate_hz = f64::from(repeats * description.control_hz);
    let mut meter = PstLm::new(rate_hz)?;
    let moments = fade.iter().filter(|(time_s, _)| *time_s >= -1.0);
    let ratios: Vec<f64> = moments
        .map(|&(time_s, level)| light(level) / light(65_535.0 * fade_place(time_s - delay_s)))
        .flat_map(|ratio| std::iter::repeat_n(ratio, repeats as usize))
        .collect();
    let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
    meter.feed(&vec![mean; (20.0 * rate_hz) as usize]);
    meter.feed(&ratios);
    Some(meter.severity()?.pst_lm)
}
