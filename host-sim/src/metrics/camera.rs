//! A camera with a rolling shutter: each row sums the light of its own exposure, one after the other.
//!
//! Light is given summed over time: a function of seconds, of any unit, that never falls. A row's value is the difference
//! at two instants, so it is as exact as that function. *Source*: the exposure as a rectangular window sampled at the line
//! rate (Li et al., a simplified rolling-shutter camera model; arXiv 2602.08474, abstract).

/// A camera's timing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Frames a second.
    pub frame_hz: f64,
    /// Rows of a frame.
    pub rows: u32,
    /// Time from the begin of a row's exposure to that of the next row, in seconds.
    pub line_s: f64,
    /// Exposure of each row, in seconds.
    pub exposure_s: f64,
}

/// An exposure is not what a camera says to the last digit: it is judged from 5 % less to 5 % more.
pub const EXPOSURE_TOLERANCE: f64 = 0.05;

impl Camera {
    /// The mean light of each row of the frame that begins at `start_s`, from the first row down.
    #[must_use]
    pub fn frame(&self, light: impl Fn(f64) -> f64, start_s: f64) -> Vec<f64> {
        (0..self.rows)
            .map(|row| {
                let begin = start_s + f64::from(row) * self.line_s;
                (light(begin + self.exposure_s) - light(begin)) / self.exposure_s
            })
            .collect()
    }

    /// Michelson contrast of whole frames, one after the other: what is left of the flicker when rows are averaged.
    #[must_use]
    pub fn frame_flicker(&self, light: impl Fn(f64) -> f64, start_s: f64, frames: u32) -> f64 {
        let sums = (0..frames).map(|frame| {
            let start = start_s + f64::from(frame) / self.frame_hz;
            self.frame(&light, start).iter().sum::<f64>()
        });
        let (least, most) = extremes(sums);
        contrast(least, most)
    }

    /// Shortest and longest exposure that are judged.
    #[must_use]
    pub fn exposures(&self) -> (f64, f64) {
        (
            self.exposure_s * (1.0 - EXPOSURE_TOLERANCE),
            self.exposure_s * (1.0 + EXPOSURE_TOLERANCE),
        )
    }

    /// Every exposure judged that lasts whole ticks, in seconds.
    pub fn exposures_in_ticks(&self, tick_hz: f64) -> impl Iterator<Item = f64> + use<> {
        let (shortest, longest) = self.exposures();
        let ticks = (shortest * tick_hz).ceil() as u64..=(longest * tick_hz) as u64;
        ticks.map(move |ticks| ticks as f64 / tick_hz)
    }

    /// The lowest pulse rate of a first-order stream whose bands stay within a contrast: enough pulses, n, in the
    /// shortest exposure for `1 / (2 n + 1)`.
    #[must_use]
    pub fn pulse_rate_to_pass(&self, limit: f64) -> f64 {
        // A limit that stands for a whole number must not miss it by a rounding.
        let pulses = ((limit.recip() - 1.0) / 2.0 - 1e-9).ceil().max(0.0);
        pulses / self.exposures().0
    }
}

/// Michelson contrast of the least and the most; 0 in the dark.
#[must_use]
pub fn contrast(least: f64, most: f64) -> f64 {
    if most > 0.0 {
        (most - least) / (most + least)
    } else {
        0.0
    }
}

/// The least and the most of some values.
#[must_use]
pub fn extremes(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, 0.0), |(least, most), value| {
        (value.min(least), value.max(most))
    })
}

/// The strongest bands and the exposure that shows them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorstBands {
    /// Michelson contrast.
    pub contrast: f64,
    /// Exposure in seconds.
    pub exposure_s: f64,
}

/// The strongest bands over exposures, `row_light` giving the least and the most light of a row at any phase; none
/// without exposures. Of equals the first.
#[must_use]
pub fn worst_bands(
    exposures_s: impl Iterator<Item = f64>,
    row_light: impl Fn(f64) -> (f64, f64),
) -> Option<WorstBands> {
    let bands = exposures_s.map(|exposure_s| {
        let (least, most) = row_light(exposure_s);
        WorstBands {
            contrast: contrast(least, most),
            exposure_s,
        }
    });
    bands.reduce(|worst, next| {
        if next.contrast > worst.contrast {
            next
        } else {
            worst
        }
    })
}

/// The least and the most light of a row that begins anywhere in a span of `instants` instants, `step_s` apart.
///
/// Light that is constant between instants has its extremes where the exposure begins or ends on one: both are tried,
/// so that the result is exact for rows that begin within the span. *Cost*: three calls of `light` an instant.
#[must_use]
pub fn row_light_at_any_phase(
    light: impl Fn(f64) -> f64,
    exposure_s: f64,
    step_s: f64,
    instants: u32,
) -> (f64, f64) {
    extremes((0..instants).flat_map(|k| {
        // Counted from the first row that ends on an instant, so that no row begins before 0.
        let begin = (f64::from(k) + (exposure_s / step_s).ceil()) * step_s;
        let here = light(begin);
        [
            light(begin + exposure_s) - here,
            here - light(begin - exposure_s),
        ]
    }))
}

/// Michelson contrast of a sine's bands: `modulation x |sinc(f exposure)|`.
#[must_use]
pub fn sine_contrast(modulation: f64, frequency_hz: f64, exposure_s: f64) -> f64 {
    let along = std::f64::consts::PI * frequency_hz * exposure_s;
    if along == 0.0 {
        modulation
    } else {
        modulation * (along.sin() / along).abs()
    }
}

/// The least and the most light of a row under a rectangular wave of height 1: whole periods, and as much or as little
/// of a pulse as the rest of the exposure can hold (derived from the overlap of two rectangles).
#[must_use]
pub fn rectangle_row_light(frequency_hz: f64, duty: f64, exposure_s: f64) -> (f64, f64) {
    let period = frequency_hz.recip();
    let periods = (exposure_s * frequency_hz).floor();
    let rest = exposure_s - periods * period;
    let whole = periods * duty * period;
    (
        whole + (rest - (1.0 - duty) * period).max(0.0),
        whole + rest.min(duty * period),
    )
}
