//! What each metric needs of a record, and its figures where that suffices.

use super::segments::{Judged, Segment};
use super::series::{Part, Series};
use super::{Figures, Survey};
use crate::metrics::flicker::filtered_modulation::{self, MIN_RATE_HZ};
use crate::metrics::flicker::ieee1789::{self, BRANCH_HZ, LOW_RISK, NO_EFFECT};
use crate::metrics::flicker::pst_lm::{self, MIN_JUDGED_SECONDS, RATES_HZ, SETTLING_SECONDS};
use crate::metrics::flicker::svm::{self, LAST_HZ};
use crate::metrics::flicker::{modulation, spectrum, temporal_visibility};
use crate::numbers::{quantity, significant};

/// The noise may read at most this part of a limit for the limit to be judged.
const NOISE_PART: f64 = 0.5;
/// PstLM and the models of visibility look so far up, in Hz.
const SLOW_HZ: f64 = 80.0;

/// What the metrics saw of a record.
pub(super) struct Seen<'a> {
    pub(super) rate_hz: f64,
    pub(super) band_hz: f64,
    pub(super) survey: &'a Survey,
    /// What the noise alone reads.
    pub(super) noise: Option<Figures>,
    pub(super) has_luminance: bool,
}

/// A metric of a segment.
struct Metric {
    id: &'static str,
    name: &'static str,
    unit: &'static str,
    /// Its band and resolution, in words.
    band: &'static str,
    /// Band that it needs, in Hz.
    band_hz: f64,
    /// Rate that it needs, in Hz.
    rate_hz: f64,
    /// Length that it needs, in s.
    seconds: f64,
    /// The limit that noise must leave room for.
    limit: Option<f64>,
    of: fn(&Figures) -> Option<f64>,
}

impl Metric {
    const fn new(
        (id, name, unit): (&'static str, &'static str, &'static str),
        band: &'static str,
        (band_hz, rate_hz): (f64, f64),
        of: fn(&Figures) -> Option<f64>,
    ) -> Self {
        Self {
            id,
            name,
            unit,
            band,
            band_hz,
            rate_hz,
            seconds: 1.0,
            limit: None,
            of,
        }
    }

    const fn limited(self, limit: f64) -> Self {
        Self {
            limit: Some(limit),
            ..self
        }
    }
}

fn metrics() -> Vec<Metric> {
    let filtered = |id, name, band_hz, of| {
        Metric::new(
            (id, name, "%"),
            filtered_modulation::BAND,
            (band_hz, MIN_RATE_HZ),
            of,
        )
    };
    let of_worst = |last: f64| (last, 2.0 * last);
    vec![
        Metric {
            seconds: 0.0,
            ..Metric::new(
                ("modulation_percent", "modulation", "%"),
                modulation::BAND,
                (0.0, 0.0),
                |f| Some(f.modulation_percent),
            )
        },
        Metric {
            seconds: 0.0,
            ..Metric::new(
                ("flicker_index", "flicker index", ""),
                modulation::BAND,
                (0.0, 0.0),
                |f| Some(f.flicker_index),
            )
        },
        filtered(
            "modulation_to_40_hz_percent",
            "modulation to 40 Hz",
            40.0,
            |f| f.filtered_percent[0],
        ),
        filtered(
            "modulation_to_90_hz_percent",
            "modulation to 90 Hz",
            90.0,
            |f| f.filtered_percent[1],
        ),
        filtered(
            "modulation_to_200_hz_percent",
            "modulation to 200 Hz",
            200.0,
            |f| f.filtered_percent[2],
        ),
        filtered(
            "modulation_to_400_hz_percent",
            "modulation to 400 Hz",
            400.0,
            |f| f.filtered_percent[3],
        ),
        filtered(
            "modulation_to_1000_hz_percent",
            "modulation to 1 kHz",
            1000.0,
            |f| f.filtered_percent[4],
        ),
        Metric::new(
            ("dominant_frequency_hz", "dominant line", "Hz"),
            spectrum::BAND,
            (0.0, 0.0),
            |f| Some(f.dominant()?.frequency_hz),
        ),
        Metric::new(("svm", "SVM", ""), svm::BAND, of_worst(LAST_HZ), |f| f.svm).limited(0.4),
        Metric::new(
            ("ieee1789_low_risk", "low risk", ""),
            ieee1789::BAND,
            of_worst(LOW_RISK.last_hz()),
            |f| Some(f.low_risk.map_or(0.0, |worst| worst.margin())).filter(|_| f.lines.is_some()),
        ),
        Metric::new(
            ("ieee1789_no_effect", "no effect", ""),
            ieee1789::BAND,
            of_worst(NO_EFFECT.last_hz()),
            |f| Some(f.no_effect.map_or(0.0, |worst| worst.margin())).filter(|_| f.lines.is_some()),
        )
        .limited(1.0),
        Metric::new(
            ("below_90_hz", "below 90 Hz", "1"),
            ieee1789::BAND,
            of_worst(BRANCH_HZ),
            |f| f.below_90_hz,
        )
        .limited(0.05),
        Metric::new(
            ("visibility", "visibility", ""),
            temporal_visibility::BAND,
            of_worst(SLOW_HZ),
            |f| Some(f.visibility?.0),
        )
        .limited(1.0),
        Metric::new(
            ("visibility_bound", "visibility, bound", ""),
            temporal_visibility::BAND,
            of_worst(SLOW_HZ),
            |f| Some(f.visibility?.1),
        ),
    ]
}

/// Every metric over the segments.
pub(super) fn series(judged: &Judged, seen: &Seen) -> Vec<Series> {
    let mut all: Vec<_> = metrics()
        .iter()
        .map(|metric| of_segments(metric, judged, seen))
        .collect();
    all.push(severity(judged, seen));
    all
}

fn of_segments(metric: &Metric, judged: &Judged, seen: &Seen) -> Series {
    let series = Series::empty(metric.id, metric.name, metric.unit, metric.band);
    if let Some(reason) = lacking(metric, seen) {
        let not_judged = judged.segments.len();
        return Series {
            reason: Some(reason),
            not_judged,
            ..series
        };
    }
    let part = |segment: &Segment| -> Part {
        let value = usable(seen, segment.begin_s, segment.end_s, metric.seconds)
            .and_then(|()| segment.figures.as_ref().ok_or_else(|| "dark".to_owned()))
            .and_then(|figures| (metric.of)(figures).ok_or_else(|| "no line".to_owned()))
            .and_then(finite);
        (segment.begin_s, segment.end_s, value)
    };
    series.filled(judged.segments.iter().map(part).collect())
}

/// Modulation of light that swings through 0 has no bound. The sum of nothing is -0, which is shown as 0.
fn finite(value: f64) -> Result<f64, String> {
    if value.is_finite() {
        Ok(value + 0.0)
    } else {
        Err("the light swings through 0".to_owned())
    }
}

/// Why a metric cannot be told of this record at all.
fn lacking(metric: &Metric, seen: &Seen) -> Option<String> {
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
    let noise = (metric.of)(seen.noise.as_ref()?)?;
    let limit = metric.limit?;
    (noise > NOISE_PART * limit).then(|| {
        format!(
            "noise alone reads {}; needs half the limit or less",
            significant(noise, 3)
        )
    })
}

/// Why a segment cannot be used.
fn usable(seen: &Seen, begin_s: f64, end_s: f64, seconds: f64) -> Result<(), String> {
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

fn severity(judged: &Judged, seen: &Seen) -> Series {
    let series = Series::empty("pst_lm", "PstLM", "", pst_lm::BAND);
    let refuse = |reason: String| Series {
        reason: Some(reason),
        not_judged: 1,
        ..Series::empty("pst_lm", "PstLM", "", pst_lm::BAND)
    };
    if seen.survey.lacks_dc {
        return refuse("missing DC: no metric is defined without the mean light".to_owned());
    }
    if seen.rate_hz < *RATES_HZ.start() {
        return refuse(format!(
            "sampled at {}; needs 2 kHz",
            quantity(seen.rate_hz, "Hz")
        ));
    }
    if seen.band_hz < SLOW_HZ {
        return refuse(format!(
            "the band ends at {}; needs 80 Hz",
            quantity(seen.band_hz, "Hz")
        ));
    }
    let least = SETTLING_SECONDS + MIN_JUDGED_SECONDS;
    let parts = judged.readings.iter().map(|reading| {
        let value = usable(seen, reading.begin_s, reading.end_s, least).and_then(|()| {
            let severity = reading
                .severity
                .as_ref()
                .ok_or_else(|| "dark, or shorter than 40 s".to_owned())?;
            finite(severity.pst_lm)
        });
        (reading.begin_s, reading.end_s, value)
    });
    series.filled(parts.collect())
}
