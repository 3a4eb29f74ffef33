//! Whether a record suffices for a metric, and a segment for a figure.

use super::metric::Metric;
use super::{Figures, Survey};
use crate::numbers::{quantity, significant};

/// The noise alone may read at most this part of a limit for the limit to be judged, and of a figure that has no limit.
const NOISE_PART: f64 = 0.5;

/// What the metrics saw of a record.
pub(super) struct Seen<'a> {
    pub(super) rate_hz: f64,
    pub(super) band_hz: f64,
    pub(super) survey: &'a Survey,
    /// What the noise alone reads.
    pub(super) noise: Option<Figures>,
    /// The PstLM that the noise alone reads.
    pub(super) noise_pst_lm: Option<f64>,
    pub(super) has_luminance: bool,
}

/// Modulation of light that swings through 0 has no bound. The sum of nothing is -0, which is shown as 0.
pub(super) fn finite(value: f64) -> Result<f64, String> {
    if value.is_finite() {
        Ok(value + 0.0)
    } else {
        Err("the light swings through 0".to_owned())
    }
}

/// Why a metric cannot be told of this record at all.
pub(super) fn lacking(metric: &Metric, seen: &Seen) -> Option<String> {
    if seen.survey.lacks_dc {
        return Some("missing DC: no metric is defined without the mean light".to_owned());
    }
    if metric.id.starts_with("visibility") && !seen.has_luminance {
        return Some("needs the luminance: give --luminance CD_M2".to_owned());
    }
    let less = |has: f64, needs: f64| has < needs * (1.0 - 1e-9);
    if less(seen.rate_hz, metric.rate_hz) {
        return Some(format!(
            "sampled at {}; needs {}",
            quantity(seen.rate_hz, "Hz"),
            quantity(metric.rate_hz, "Hz")
        ));
    }
    if less(seen.band_hz, metric.band_hz) {
        return Some(format!(
            "the band ends at {}; needs {}",
            quantity(seen.band_hz, "Hz"),
            quantity(metric.band_hz, "Hz")
        ));
    }
    let noise = (metric.strength)(seen.noise.as_ref()?)?;
    noisy(noise, metric.limit?)
}

/// Why noise makes a limit unjudgeable.
pub(super) fn noisy(noise: f64, limit: f64) -> Option<String> {
    (noise > NOISE_PART * limit).then(|| {
        format!(
            "noise alone reads {}; needs half the limit or less",
            significant(noise, 3)
        )
    })
}

/// Why a figure without a limit is none: noise alone reads more than half of it.
pub(super) fn drowned(metric: &Metric, seen: &Seen, figures: &Figures) -> Option<String> {
    if metric.limit.is_some() {
        return None;
    }
    let noise = (metric.strength)(seen.noise.as_ref()?)?;
    let figure = (metric.strength)(figures)?;
    (noise > NOISE_PART * figure).then(|| {
        format!(
            "noise alone reads {} of the {} found; needs half of it or less",
            significant(noise, 3),
            significant(figure, 3)
        )
    })
}

/// Why a segment cannot be used.
pub(super) fn usable(seen: &Seen, begin_s: f64, end_s: f64, seconds: f64) -> Result<(), String> {
    if let Some(clip_s) = seen.survey.clipped_within(begin_s, end_s) {
        return Err(format!("clipped at {} s", significant(clip_s, 6)));
    }
    // Filters take a little of a record of 1 s.
    let length = end_s - begin_s;
    if length < 0.999 * seconds {
        return Err(format!(
            "lasts {}; needs {}",
            quantity(length, "s"),
            quantity(seconds, "s")
        ));
    }
    Ok(())
}
