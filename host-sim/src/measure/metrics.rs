//! What each metric needs of a record, and its figures where that suffices.

use super::Figures;
use super::segments::{Judged, Segment};
use super::series::{Part, Series};
use super::sufficiency::{Seen, finite, lacking, usable};
use crate::metrics::flicker::filtered_modulation::{self, MIN_RATE_HZ};
use crate::metrics::flicker::ieee1789::{self, BRANCH_HZ, LOW_RISK, NO_EFFECT};
use crate::metrics::flicker::pst_lm::{self, MIN_JUDGED_SECONDS, RATES_HZ, SETTLING_SECONDS};
use crate::metrics::flicker::svm::{self, LAST_HZ};
use crate::metrics::flicker::{modulation, spectrum, temporal_visibility};
use crate::numbers::quantity;

/// PstLM and the models of visibility look so far up, in Hz.
const SLOW_HZ: f64 = 80.0;

/// A metric of a segment.
pub(super) struct Metric {
    pub(super) id: &'static str,
    pub(super) name: &'static str,
    pub(super) unit: &'static str,
    /// Its band and resolution, in words.
    pub(super) band: &'static str,
    /// Band that it needs, in Hz.
    pub(super) band_hz: f64,
    /// Rate that it needs, in Hz.
    pub(super) rate_hz: f64,
    /// Length that it needs, in s.
    pub(super) seconds: f64,
    /// The limit that noise must leave room for.
    pub(super) limit: Option<f64>,
    pub(super) of: fn(&Figures) -> Option<f64>,
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
