//! The record of the dark: its level, and the noise that is in every record.

use super::flickermeters::Flickermeters;
use super::{Figures, Options, Survey, stretch};
use crate::capture::{Capture, Piece, Refusal};
use crate::metrics::flicker::Samples;

/// Longest part that is kept for the figures of the noise, in s.
const KEPT_SECONDS: f64 = 3.0;

/// Shortest part that tells of the noise, in s; and how long its PstLM is taken over.
const LEAST_SECONDS: f64 = 1.0;
const PST_SECONDS: f64 = 60.0;

/// A record taken in the dark.
#[derive(Clone, Debug, PartialEq)]
pub struct Dark {
    /// Its mean.
    pub level: f64,
    /// RMS around the mean.
    pub noise_rms: f64,
    rate_hz: f64,
    /// Its first seconds around the mean, as the metrics see them.
    noise: Vec<f64>,
}

impl Dark {
    /// Reads a record of the dark through.
    ///
    /// # Errors
    /// What the file is not.
    pub fn of(capture: &Capture) -> Result<Self, Refusal> {
        let mut thinned = stretch::for_lines(capture.rate_hz());
        let rate_hz = capture.rate_hz() / thinned.factor() as f64;
        let (mut noise, mut sum, mut squares, mut count) = (Vec::new(), 0.0, 0.0, 0_u64);
        for piece in capture.pieces()? {
            let Piece::Light(values) = piece? else {
                continue;
            };
            for value in values {
                sum += value;
                squares += value * value;
                count += 1;
                let kept = (noise.len() as f64) < KEPT_SECONDS * rate_hz;
                noise.extend(thinned.push(value).filter(|_| kept));
            }
        }
        if count < 2 {
            return Err(Refusal::of(
                capture.file(),
                "holds no two samples; allowed are two or more",
            ));
        }
        let level = sum / count as f64;
        noise.iter_mut().for_each(|value| *value -= level);
        Ok(Self {
            level,
            noise_rms: (squares / count as f64 - level * level).max(0.0).sqrt(),
            rate_hz,
            noise,
        })
    }

    /// PstLM of the noise alone on steady light of a mean: what is kept of it, again and again for 60 s. Drifts slower than
    /// that do not show. `None` if the record is shorter than 1 s, or its rate too low.
    pub(super) fn pst_lm(&self, mean: f64) -> Option<f64> {
        let seconds = self.noise.len() as f64 / self.rate_hz;
        if seconds < LEAST_SECONDS {
            return None;
        }
        let steady: Vec<f64> = self.noise.iter().map(|noise| mean + noise).collect();
        let mut meters = Flickermeters::new(0.0, self.rate_hz)?;
        for _ in 0..(PST_SECONDS / seconds).ceil() as usize {
            meters.feed(&steady);
        }
        let readings = meters.finished();
        Some(readings.first()?.severity.as_ref()?.pst_lm)
    }

    /// What the noise alone would read on steady light of the record's mean; `None` if the record of the dark is too short.
    pub(super) fn figures(&self, survey: &Survey, options: &Options) -> Option<Figures> {
        let steady: Vec<f64> = self.noise.iter().map(|noise| survey.mean + noise).collect();
        let samples = Samples {
            rate_hz: self.rate_hz,
            values: &steady,
        };
        (samples.seconds() >= LEAST_SECONDS)
            .then(|| Figures::of(samples, options.luminance_cd_m2))?
    }
}
