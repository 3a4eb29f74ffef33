//! What each metric of a segment needs of a record.

use super::Figures;
use crate::metrics::flicker::filtered_modulation::{self, MIN_RATE_HZ};
use crate::metrics::flicker::ieee1789::{self, BRANCH_HZ, LOW_RISK, NO_EFFECT};
use crate::metrics::flicker::svm::{self, LAST_HZ};
use crate::metrics::flicker::{modulation, spectrum, temporal_visibility};

/// PstLM and the models of visibility look so far up, in Hz.
pub(super) const SLOW_HZ: f64 = 80.0;

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
    /// The limit that noise must leave room for; without one, noise must leave room for the figure itself.
    pub(super) limit: Option<f64>,
    pub(super) of: fn(&Figures) -> Option<f64>,
    /// What is compared with the noise: the figure, or the strength of that which it tells.
    pub(super) strength: fn(&Figures) -> Option<f64>,
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
            strength: of,
        }
    }

    const fn limited(self, limit: f64) -> Self {
        Self {
            limit: Some(limit),
            ..self
        }
    }
}

/// All of them.
pub(super) fn metrics() -> Vec<Metric> {
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
        Metric {
            strength: |f| Some(f.dominant()?.amplitude),
            ..Metric::new(
                ("dominant_frequency_hz", "dominant line", "Hz"),
                spectrum::BAND,
                (0.0, 0.0),
                |f| Some(f.dominant()?.frequency_hz),
            )
        },
        Metric::new(("svm", "SVM", ""), svm::BAND, of_worst(LAST_HZ), |f| f.svm).limited(0.4),
        Metric::new(
            ("ieee1789_low_risk", "low risk", ""),
            ieee1789::BAND,
            of_worst(LOW_RISK.last_hz()),
            |f| Some(f.low_risk.map_or(0.0, |worst| worst.margin())).filter(|_| f.lines.is_some()),
        )
        .limited(1.0),
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
        )
        .limited(1.0),
    ]
}
