//! What makes a measurement doubtful.

use super::Survey;
use crate::capture::Capture;
use crate::numbers::{percent, quantity, significant};

/// Intervals may be off by so much before it is worth a word.
const UNEVEN: f64 = 0.02;
/// Quantisation coarser than this part of the mean.
const COARSE: f64 = 0.01;
/// PstLM is judged over this long.
const PST_SECONDS: f64 = 180.0;

/// Kinds of doubt; the words are the ones of the JSON document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WarningKind {
    /// Samples at full scale, or a flat top.
    Clipping,
    /// The mean is about zero.
    MissingDc,
    /// Few levels.
    CoarseQuantisation,
    /// Time stamps off an even grid.
    NonUniformTimes,
    /// Pieces are missing.
    Gaps,
    /// Too short for some metric.
    ShortRecord,
}

impl WarningKind {
    /// Stable identifier.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Clipping => "clipping",
            Self::MissingDc => "missing_dc",
            Self::CoarseQuantisation => "coarse_quantisation",
            Self::NonUniformTimes => "non_uniform_times",
            Self::Gaps => "gaps",
            Self::ShortRecord => "short_record",
        }
    }
}

/// One doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Warning {
    /// Its kind.
    pub kind: WarningKind,
    /// What, how much, and what follows from it.
    pub message: String,
}

pub(super) fn warnings(capture: &Capture, survey: &Survey) -> Vec<Warning> {
    let found = [
        (WarningKind::Clipping, clipping(survey)),
        (WarningKind::MissingDc, missing_dc(survey)),
        (WarningKind::CoarseQuantisation, coarse(survey)),
        (WarningKind::NonUniformTimes, uneven(capture)),
        (WarningKind::Gaps, gaps(survey)),
        (WarningKind::ShortRecord, short(capture, survey)),
    ];
    let warning =
        |(kind, message): (_, Option<String>)| message.map(|message| Warning { kind, message });
    found.into_iter().filter_map(warning).collect()
}

fn clipping(survey: &Survey) -> Option<String> {
    let tenths = survey.clipped.len();
    (tenths > 0).then(|| {
        let (what, remedy) = if survey.looks_clipped {
            ("the top looks cut off", "; if that is the light, give a --full-scale above it")
        } else {
            ("samples at full scale", "")
        };
        format!(
            "clipping: {what} in {tenths} tenths of seconds; segments with them are not judged{remedy}"
        )
    })
}

fn missing_dc(survey: &Survey) -> Option<String> {
    survey.lacks_dc.then(|| {
        "missing DC: the mean is about zero, as after an AC coupling; give the mean back with a negative --offset".to_owned()
    })
}

/// Two levels are a light that switches.
fn coarse(survey: &Survey) -> Option<String> {
    let step = survey.level_step / survey.mean;
    let coarse = (3..=256).contains(&survey.levels) && step > COARSE && step.is_finite();
    coarse.then(|| {
        format!(
            "coarse quantisation: {} levels, steps of {} of the mean",
            survey.levels,
            percent(step)
        )
    })
}

fn uneven(capture: &Capture) -> Option<String> {
    let timing = capture.timing()?;
    (timing.unevenness() > UNEVEN).then(|| {
        format!(
            "non-uniform times: intervals off by up to {}; resampled at {} on straight lines, which may take \
             {} of a line at 100 Hz and {} at 2 kHz",
            percent(timing.unevenness()),
            quantity(timing.rate_hz, "Hz"),
            percent(timing.most_loss(100.0)),
            percent(timing.most_loss(2000.0)),
        )
    })
}

fn gaps(survey: &Survey) -> Option<String> {
    let gaps = survey.stretches.len().saturating_sub(1);
    (gaps > 0).then(|| format!("gaps: {gaps}; no segment reaches across one"))
}

fn short(capture: &Capture, survey: &Survey) -> Option<String> {
    let seconds = survey.seconds(capture.rate_hz());
    (seconds < PST_SECONDS).then(|| {
        format!(
            "short record: {} s; PstLM is to be judged over 180 s, and needs 40 s",
            significant(seconds, 4)
        )
    })
}
