//! The metrics of one segment.

use crate::metrics::flicker::filtered_modulation::{CUT_OFFS_HZ, filtered_modulations};
use crate::metrics::flicker::ieee1789::{LOW_RISK, NO_EFFECT, modulation_below_90_hz_over_periods};
use crate::metrics::flicker::modulation::modulation;
use crate::metrics::flicker::period::fundamental_of_lines;
use crate::metrics::flicker::svm::svm;
use crate::metrics::flicker::temporal_visibility::{Model, visibility};
use crate::metrics::flicker::{Line, Samples, Worst, spectrum};

/// What the metrics say of one segment. Whether a figure may be trusted is judged elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// Percent flicker.
    pub modulation_percent: f64,
    /// Flicker index.
    pub flicker_index: f64,
    /// Percent flicker below each of the cut-offs of the published procedure.
    pub filtered_percent: [Option<f64>; CUT_OFFS_HZ.len()],
    /// Modulation below 90 Hz, as a fraction.
    pub below_90_hz: Option<f64>,
    /// The lines; none for a segment shorter than 1 s.
    pub lines: Option<Vec<Line>>,
    /// SVM of the lines.
    pub svm: Option<f64>,
    /// The line that is worst by the low-risk practice.
    pub low_risk: Option<Worst>,
    /// The line that is worst by the no-effect practice.
    pub no_effect: Option<Worst>,
    /// Visibility by the model for the luminance, and by the bound.
    pub visibility: Option<(f64, f64)>,
}

impl Figures {
    /// Of a segment; `None` if it is dark.
    pub(super) fn of(samples: Samples, luminance_cd_m2: Option<f64>) -> Option<Self> {
        let lines = spectrum::lines(samples);
        let of_lines = lines.as_deref();
        let fundamental = of_lines.and_then(|lines| fundamental_of_lines(lines, samples.seconds()));
        // Without a period the whole record is taken for one; to look again would take as long as all the rest.
        let period_hz = fundamental.unwrap_or(samples.seconds().recip());
        let swing = modulation(samples, Some(period_hz))?;
        Some(Self {
            modulation_percent: swing.percent,
            flicker_index: swing.flicker_index,
            filtered_percent: filtered_modulations(samples),
            below_90_hz: modulation_below_90_hz_over_periods(samples, fundamental),
            svm: of_lines.map(svm),
            low_risk: of_lines.and_then(|lines| LOW_RISK.worst(lines)),
            no_effect: of_lines.and_then(|lines| NO_EFFECT.worst(lines)),
            visibility: luminance_cd_m2.zip(of_lines).map(|(luminance, lines)| {
                let seen = visibility(lines, &Model::at(luminance));
                (seen.sum, seen.bound_sum)
            }),
            lines,
        })
    }

    /// The strongest line.
    #[must_use]
    pub fn dominant(&self) -> Option<Line> {
        spectrum::dominant(self.lines.as_deref()?)
    }
}
