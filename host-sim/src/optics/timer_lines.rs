//! The lines of a steady timer.
//!
//! The pulses that every period has give lines at whole multiples of the period's rate. Those that error feedback makes longer give, for
//! each coefficient of the first-order stream of periods, a line beside every multiple: a decision is far shorter than a
//! period, so that the stream's spectrum comes again and again.

use std::f64::consts::PI;

use milliglow::density::Density;

use super::lines::{Arc, CIRCLE, HALF, PLACES, Part};
use super::rotation::NearWhole;
use super::steady_timer::SteadyTimer;

/// The lines within `reach` units of 2^-32 tick rates whose amplitude, `scale` times that of the stream, reaches `floor`.
pub(super) fn timer_parts(timer: &SteadyTimer, scale: f64, reach: f64, floor: f64) -> Vec<Part> {
    if scale <= 0.0 || timer.whole >= timer.period {
        return Vec::new();
    }
    let train = Train {
        timer,
        scale,
        reach: reach * f64::from(timer.stretch) * f64::from(timer.period) / CIRCLE,
        floor,
    };
    let mut parts = train.harmonics();
    if timer.part != Density::NONE {
        parts.extend(train.beside());
    }
    parts.retain(|part| part.cosine.hypot(part.sine) >= floor);
    parts
}

struct Train<'a> {
    timer: &'a SteadyTimer,
    scale: f64,
    /// Highest frequency in periods' rates.
    reach: f64,
    floor: f64,
}

impl Train<'_> {
    /// Periods from the first tick to a decision of the first period.
    fn periods(&self, decision: f64) -> f64 {
        let late = f64::from(self.timer.late_ticks) / f64::from(self.timer.stretch);
        (decision + late + f64::from(self.timer.late_decisions)) / f64::from(self.timer.period)
    }

    fn place(&self, multiple: u64, distance: u64) -> u64 {
        let unit = PLACES / (u64::from(self.timer.stretch) * u64::from(self.timer.period));
        ((multiple << 32) + distance) * unit
    }

    /// What every period has: ones without the feedback's.
    fn harmonics(&self) -> Vec<Part> {
        let (loss, _) = self.timer.losses();
        let (begin, end) = (loss, f64::from(self.timer.whole));
        let width = PI * (end - begin) / f64::from(self.timer.period);
        let middle = self.periods((begin + end) / 2.0);
        let highest = if self.timer.whole == 0 {
            0.0
        } else {
            self.reach
        };
        let line = |multiple: u64| {
            let n = multiple as f64;
            let amplitude = 2.0 * self.scale * (n * width).sin() / (PI * n);
            let (sine, cosine) = (2.0 * PI * (n * middle).fract()).sin_cos();
            Part {
                place: self.place(multiple, 0),
                cosine: amplitude * cosine,
                sine: amplitude * sine,
            }
        };
        (1..=highest as u64).map(line).collect()
    }

    /// The feedback's decisions: its mean at the multiples themselves, its lines beside them.
    fn beside(&self) -> Vec<Part> {
        let timer = self.timer;
        let stream = timer.feedback();
        let arc = Arc::new(&stream);
        let (loss, with_more) = timer.losses();
        let light = (1.0 - (with_more - loss)) / f64::from(timer.period);
        let scale = 2.0 * self.scale * light;
        let mean = (timer.part.as_f64(), 0.0);
        let multiples = (1..=self.reach as i64)
            .filter_map(|image| self.image(mean, scale, (0, image)))
            .collect::<Vec<_>>();
        let within = (self.reach * CIRCLE).min(CIRCLE / 2.0 - 1.0) as u32;
        // Short of half a period's rate a line near a multiple is weaker the nearer it lies.
        let highest = scale * (PI * (f64::from(within) / CIRCLE).min(0.5)).sin();
        let last = arc.last_above(self.floor / highest);
        let images = (self.reach + 0.5) as i64;
        let near = NearWhole::new(timer.part.to_bits(), within);
        let near = near.into_iter().flatten();
        near.take_while(|&(k, _)| k <= last)
            .chain(arc.middle().filter(|_| self.reach >= 0.5))
            .flat_map(|(k, distance)| {
                let coefficient = arc.coefficient(k);
                (-images..=images).map(move |image| (coefficient, (distance, image)))
            })
            .filter_map(|(coefficient, at)| self.image(coefficient, scale, at))
            .chain(multiples)
            .collect()
    }

    /// A coefficient's size and angle, `distance` from a whole number of periods' rates, beside multiple `image`; negative frequencies
    /// as their mirror.
    fn image(
        &self,
        (size, start): (f64, f64),
        scale: f64,
        (distance, image): (i64, i64),
    ) -> Option<Part> {
        let units = (image << 32) + distance;
        let frequency = units as f64 / CIRCLE;
        // The middle of the stream's spectrum is its own mirror.
        let mirrored = distance == HALF && units < 0;
        if units == 0 || mirrored || frequency.abs() > self.reach {
            return None;
        }
        let along = PI * frequency / f64::from(self.timer.period);
        let decision = along.sin() / along;
        // From the first tick to the middle of the decision.
        let turns = self.periods(f64::from(self.timer.whole) + 0.5);
        let angle = start - 2.0 * PI * (frequency * turns);
        let amplitude = scale * size * decision;
        Some(Part {
            place: self.place(
                units.unsigned_abs() >> 32,
                units.unsigned_abs() & 0xFFFF_FFFF,
            ),
            cosine: amplitude * angle.cos(),
            sine: -amplitude * angle.sin() * units.signum() as f64,
        })
    }
}
