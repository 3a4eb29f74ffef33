//! Judges a measured waveform: the flicker metrics on its samples, each only where band, noise, length and rate suffice.
//!
//! A stretch of up to 10 s without a gap is judged as a whole; longer ones in overlapping segments, of which the worst, the
//! median and the time of the worst are told. The file is read a block at a time; what is kept of it
//! grows by less than 1 kB a second, and 48 h are the most.

mod against;
mod dark;
mod figures;
mod flat_top;
mod flickermeters;
mod gathered;
mod metric;
mod metrics;
mod reading;
mod segments;
mod series;
mod stretch;
mod sufficiency;
mod survey;
mod verdicts;
mod warning;

pub use against::{Against, Compared};
pub use dark::Dark;
pub use figures::Figures;
pub use flickermeters::Reading;
pub use series::Series;
pub use survey::Survey;
pub use warning::{Warning, WarningKind};

use crate::capture::{Capture, Refusal};
use crate::metrics::flicker::{Line, pst_lm::Severity};
use crate::verdict::{Outcome, Verdict};

/// What the record does not say about itself.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// What is taken from every value: the dark level.
    pub offset: f64,
    /// The record of the dark, its level taken as well.
    pub dark: Option<Dark>,
    /// Bandwidth of the probe in Hz; without it the sampling alone limits the band.
    pub bandwidth_hz: Option<f64>,
    /// Luminance of the light in cd/m2.
    pub luminance_cd_m2: Option<f64>,
    /// Largest value that the instrument can give: what reaches it is clipped. Without it, flat tops count as clipped
    /// where nothing else is flat.
    pub full_scale: Option<f64>,
}

impl Options {
    /// What is taken from every value.
    #[must_use]
    pub fn dark_level(&self) -> f64 {
        self.offset + self.dark.as_ref().map_or(0.0, |dark| dark.level)
    }

    fn noise_rms(&self) -> f64 {
        self.dark.as_ref().map_or(0.0, |dark| dark.noise_rms)
    }
}

/// What came of a record.
#[derive(Clone, Debug)]
pub struct Measured {
    /// Name of the file.
    pub origin: String,
    /// Samples a second of the record.
    pub rate_hz: f64,
    /// Band of the record in Hz, by its sampling and the probe.
    pub band_hz: f64,
    /// What taken from every value.
    pub dark_level: f64,
    /// The record as a whole.
    pub survey: Survey,
    /// What makes the figures doubtful.
    pub warnings: Vec<Warning>,
    /// Each metric over the segments.
    pub series: Vec<Series>,
    /// Samples a second of what the metrics saw, and its band in Hz.
    pub judged_at: (f64, f64),
    /// The verdicts.
    pub verdicts: Vec<Verdict>,
    /// Frequency of the line that is worst by the no-effect practice, in Hz.
    pub worst_line_hz: Option<f64>,
    /// For the plots: the segment that is worst by the no-effect practice, or the first.
    pub shown: Option<Shown>,
    /// For the plots: the worst reading of the flickermeter, and when it began.
    pub severity: Option<(f64, Severity)>,
}

/// A segment that is shown.
#[derive(Clone, Debug)]
pub struct Shown {
    /// When it begins, in s.
    pub begin_s: f64,
    /// Its samples, at the rate of `judged_at`.
    pub values: Vec<f64>,
    /// Its lines.
    pub lines: Vec<Line>,
}

impl Measured {
    /// A metric over the segments.
    #[must_use]
    pub fn series(&self, id: &str) -> Option<&Series> {
        self.series.iter().find(|series| series.id == id)
    }

    /// How many verdicts came out so.
    #[must_use]
    pub fn count(&self, outcome: Outcome) -> usize {
        let same = |verdict: &&Verdict| verdict.outcome == outcome;
        self.verdicts.iter().filter(same).count()
    }
}

/// Measures a capture.
///
/// # Errors
/// What the file is not, or light that is negative beyond noise.
pub fn measure(capture: &Capture, options: &Options) -> Result<Measured, Refusal> {
    let (survey, judged) = reading::read(capture, options)?;
    let warnings = warning::warnings(capture, &survey);
    let band_hz = options
        .bandwidth_hz
        .map_or(capture.band_hz(), |probe| probe.min(capture.band_hz()));
    let dark = options.dark.as_ref();
    let seen = sufficiency::Seen {
        rate_hz: judged.rate_hz,
        band_hz: band_hz.min(judged.band_hz),
        survey: &survey,
        noise: dark.and_then(|dark| dark.figures(&survey, options)),
        noise_pst_lm: dark.and_then(|dark| dark.pst_lm(survey.mean)),
        has_luminance: options.luminance_cd_m2.is_some(),
    };
    let series = metrics::series(&judged, &seen);
    let verdicts = verdicts::verdicts(&series, &judged, options);
    Ok(Measured {
        origin: capture.file().display().to_string(),
        rate_hz: capture.rate_hz(),
        band_hz,
        dark_level: options.dark_level(),
        warnings,
        judged_at: (seen.rate_hz, seen.band_hz),
        worst_line_hz: verdicts::worst_line_hz(&series, &judged),
        verdicts,
        series,
        severity: judged.worst_severity(),
        shown: judged.shown,
        survey,
    })
}
