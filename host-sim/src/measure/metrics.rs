//! Every metric over the segments, where a record suffices for it.

use super::flickermeters::Reading;
use super::metric::{Metric, SLOW_HZ, metrics};
use super::segments::{Judged, Segment};
use super::series::{Part, Series};
use super::sufficiency::{Seen, drowned, finite, lacking, noisy, usable};
use crate::metrics::flicker::pst_lm::{self, MIN_JUDGED_SECONDS, RATES_HZ, SETTLING_SECONDS};
use crate::numbers::quantity;

/// The limit of PstLM that noise must leave room for.
const PST_LIMIT: f64 = 1.0;

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
            .and_then(|figures| match drowned(metric, seen, figures) {
                Some(reason) => Err(reason),
                None => (metric.of)(figures).ok_or_else(|| "no line".to_owned()),
            })
            .and_then(finite);
        (segment.begin_s, segment.end_s, value)
    };
    series.filled(judged.segments.iter().map(part).collect())
}

fn severity(judged: &Judged, seen: &Seen) -> Series {
    let series = Series::empty("pst_lm", "PstLM", "", pst_lm::BAND);
    match lacking_for_severity(seen) {
        Some(reason) => Series {
            reason: Some(reason),
            not_judged: 1,
            ..series
        },
        None => series.filled(
            judged
                .readings
                .iter()
                .map(|reading| part(reading, seen))
                .collect(),
        ),
    }
}

fn lacking_for_severity(seen: &Seen) -> Option<String> {
    if seen.survey.lacks_dc {
        return Some("missing DC: no metric is defined without the mean light".to_owned());
    }
    let (rate, band) = (quantity(seen.rate_hz, "Hz"), quantity(seen.band_hz, "Hz"));
    if seen.rate_hz < *RATES_HZ.start() {
        return Some(format!("sampled at {rate}; needs 2 kHz"));
    }
    if seen.band_hz < SLOW_HZ {
        return Some(format!("the band ends at {band}; needs 80 Hz"));
    }
    noisy(seen.noise_pst_lm?, PST_LIMIT)
}

fn part(reading: &Reading, seen: &Seen) -> Part {
    let least = SETTLING_SECONDS + MIN_JUDGED_SECONDS;
    let value = usable(seen, reading.begin_s, reading.end_s, least).and_then(|()| {
        let severity = reading.severity.as_ref();
        let severity = severity.ok_or_else(|| "dark, or shorter than 40 s".to_owned())?;
        finite(severity.pst_lm)
    });
    (reading.begin_s, reading.end_s, value)
}
