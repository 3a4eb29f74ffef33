//! A console that sends packets over a line with jitter and loss, and what the light makes of them.

use milliglow::bus::dmx512::{Configuration, OnLoss, Role, Row, Slots, Width};
use milliglow::curve::{Curve, Exponential};
use milliglow::{Level, constant};
use milliglow_sim::metrics::flicker::pst_lm::PstLm;

/// Also the rate of the meter.
pub(crate) const CONTROL_HZ: u32 = 2_000;

/// When a fade begins.
const START_S: f64 = 3.0;

const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 0)));

pub(crate) const fn configuration(width: Width) -> Configuration<1> {
    Configuration {
        rows: [Row {
            slot: 1,
            width,
            role: Role::Level,
        }],
        start: [0],
        control_hz: CONTROL_HZ as u16,
        creep_ms: 750,
        loss_ms: 1_250,
        on_loss: OnLoss::Hold,
    }
}

/// A line on which packets come late by up to `jitter_us` and some never.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line {
    pub(crate) interval_us: u32,
    pub(crate) jitter_us: u32,
    pub(crate) lost_percent: u32,
    pub(crate) seed: u64,
}

/// 44.1 packets a second: 512 slots.
pub(crate) const GOOD: Line = Line {
    interval_us: 22_676,
    jitter_us: 0,
    lost_percent: 0,
    seed: 1,
};

impl Line {
    /// splitmix64 of the packet's number.
    fn drawn(&self, index: u64) -> u64 {
        let mut z = index
            .wrapping_add(self.seed << 32)
            .wrapping_mul(0x9E37_79B9_7F4A_7C15);
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// When a packet comes, in µs; none if it is lost.
    pub(crate) fn arrival_us(&self, index: u64) -> Option<u64> {
        let drawn = self.drawn(index);
        let late = (drawn >> 32) % (u64::from(self.jitter_us) + 1);
        (drawn % 100 >= u64::from(self.lost_percent))
            .then_some(index * u64::from(self.interval_us) + late)
    }
}

/// The Level at every control step while a console plays `position` (0 to 1 at a time in s) over the line.
pub(crate) fn levels(
    configuration: &Configuration<1>,
    line: Line,
    seconds: f64,
    position: impl Fn(f64) -> f64,
) -> Vec<Level> {
    let mut slots = Slots::new(configuration).expect("a good configuration");
    let steps = (seconds * f64::from(CONTROL_HZ)) as u64;
    let mut index = 0;
    (0..steps)
        .map(|step| {
            let now_us = step * 1_000_000 / u64::from(CONTROL_HZ);
            while index * u64::from(line.interval_us) + u64::from(line.jitter_us) <= now_us {
                if let Some(at_us) = line.arrival_us(index) {
                    let sent_us = index * u64::from(line.interval_us);
                    let packet =
                        packet(configuration.rows[0].width, position(sent_us as f64 / 1e6));
                    slots.packet(&packet, at_us as u32).expect("a good packet");
                }
                index += 1;
            }
            slots.control_step();
            slots.level()
        })
        .collect()
}

/// START code and slots, the value rounded to nearest as a console of so many bits does.
fn packet(width: Width, position: f64) -> Vec<u8> {
    match width {
        Width::Coarse => vec![0, (position * 255.0).round() as u8],
        Width::CoarseFine => {
            let [coarse, fine] = ((position * 65_535.0).round() as u16).to_be_bytes();
            vec![0, coarse, fine]
        }
    }
}

/// How much later than asked the light is, in s: a packet, what a creep of 8 bits waits for, and the line's handing over.
pub(crate) fn delay_s(configuration: &Configuration<1>, line: Line) -> f64 {
    let interval_s = f64::from(line.interval_us) / 1e6;
    let creep_s = f64::from(configuration.creep_ms) / 1e3;
    let ahead = match configuration.rows[0].width {
        Width::Coarse => (creep_s / interval_s).round().min(31.0),
        Width::CoarseFine => 0.0,
    };
    (1.0 + ahead) * interval_s + f64::from(line.jitter_us) / 1e6
}

/// PstLM of the light over the ideal light, both corners included, while a fade of `seconds` between the slot values 1 and 255 runs. The
/// ideal light is as much later as the receiver states, for what is always late does not flicker. The meter settles on 20 s of
/// the mean before.
pub(crate) fn fade_severity(
    configuration: &Configuration<1>,
    line: Line,
    seconds: f64,
    ends: [f64; 2],
) -> f64 {
    shaped_severity(configuration, line, seconds, ends, |way| way)
}

/// The same of a fade that goes its way in another shape.
pub(crate) fn shaped_severity(
    configuration: &Configuration<1>,
    line: Line,
    seconds: f64,
    [from, to]: [f64; 2],
    shape: fn(f64) -> f64,
) -> f64 {
    let position = |time: f64| {
        let way = shape(((time - START_S) / seconds).clamp(0.0, 1.0));
        (from + (to - from) * way) / 255.0
    };
    let levels = levels(configuration, line, START_S + seconds + 2.5, position);
    let rate = f64::from(CONTROL_HZ);
    let delay_s = delay_s(configuration, line);
    let ratios: Vec<f64> = levels
        .iter()
        .enumerate()
        .skip(((START_S - 1.0) * rate) as usize)
        .map(|(step, &level)| {
            let ideal = 1000_f64.powf(position(step as f64 / rate - delay_s) - 1.0);
            CURVE.light(level).as_f64() / ideal
        })
        .collect();
    let mut meter = PstLm::new(rate).expect("a rate it takes");
    let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
    meter.feed(&vec![mean; (20.0 * rate) as usize]);
    meter.feed(&ratios);
    meter.severity().expect("long enough").pst_lm
}
