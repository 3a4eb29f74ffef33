//! PstLM of a light that stands still.

use std::f64::consts::TAU;

use super::light::Light;
use crate::metrics::flicker::pst_lm::{MIN_JUDGED_SECONDS, PstLm, SETTLING_SECONDS, Severity};
use crate::optics::PhasedLine;

/// Light judged, after settling.
const SECONDS: f64 = 180.0;
/// Where ticks must be stepped, at the most so many, but 20 s in any case.
const STEPPED_TICKS: f64 = 1.5e7;
/// Sample rate of the meter: the lines that it sees lie below 100 Hz.
const RATE_HZ: u32 = 4_000;
const BLOCK: usize = 4_000;

/// Reads 180 s of the exact lines below 100 Hz where there is a closed form; otherwise a part of it, of the streams.
pub(super) fn severity(light: &Light, tick_hz: u32) -> Option<Severity> {
    let stepped = (STEPPED_TICKS / f64::from(tick_hz)).clamp(MIN_JUDGED_SECONDS + 1.0, SECONDS);
    let mut meter = PstLm::new(f64::from(RATE_HZ))?;
    match light.slow_lines() {
        Some(lines) => feed_lines(&mut meter, &lines),
        None => light.sample(RATE_HZ, stepped + SETTLING_SECONDS, |flux| {
            meter.feed(&[flux]);
        }),
    }
    meter.severity()
}

fn feed_lines(meter: &mut PstLm, lines: &[PhasedLine]) {
    let samples = ((SECONDS + SETTLING_SECONDS) * f64::from(RATE_HZ)) as usize;
    let mut oscillators: Vec<_> = lines.iter().map(Oscillator::new).collect();
    for _ in 0..samples / BLOCK {
        let mut block = [1.0; BLOCK];
        for oscillator in &mut oscillators {
            block
                .iter_mut()
                .for_each(|value| *value += oscillator.next());
        }
        meter.feed(&block);
    }
}

/// A line as a vector that turns by the same angle each sample.
struct Oscillator {
    along: f64,
    across: f64,
    turn: (f64, f64),
}

impl Oscillator {
    fn new(line: &PhasedLine) -> Self {
        let (sine, cosine) = (TAU * line.frequency_hz / f64::from(RATE_HZ)).sin_cos();
        Self {
            along: line.cosine,
            across: line.sine,
            turn: (cosine, sine),
        }
    }

    /// `cosine x cos + sine x sin` of the next sample.
    fn next(&mut self) -> f64 {
        let value = self.along;
        let (cosine, sine) = self.turn;
        (self.along, self.across) = (
            self.along * cosine + self.across * sine,
            self.across * cosine - self.along * sine,
        );
        value
    }
}

#[cfg(test)]
mod tests {
    use super::{Oscillator, RATE_HZ};
    use crate::optics::PhasedLine;
    use std::f64::consts::TAU;

    #[test]
    fn an_oscillator_follows_its_line() {
        let line = PhasedLine {
            frequency_hz: 8.8,
            cosine: 0.3,
            sine: -0.7,
        };
        let mut oscillator = Oscillator::new(&line);
        for k in 0..800_000 {
            let value = oscillator.next();
            let angle = TAU * 8.8 * f64::from(k) / f64::from(RATE_HZ);
            let expected = 0.3 * angle.cos() - 0.7 * angle.sin();
            assert!((value - expected).abs() < 1e-8, "sample {k}");
        }
    }
}
