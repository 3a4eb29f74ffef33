//! What the terminal shows below the verdicts: every figure, the doubts, the comparison.

use crate::measure::{Compared, Measured, Series};
use crate::numbers::{quantity, significant};
use crate::report::terminal::paragraph;

/// Figures, one a line, then warnings and, if asked for, the comparison.
#[must_use]
pub fn words(measured: &Measured, compared: &[Compared]) -> String {
    let mut text = record_line(measured);
    text += &measured.series.iter().map(figure_line).collect::<String>();
    for warning in &measured.warnings {
        text += &paragraph(&format!("warning: {}", warning.message), "");
    }
    text + &compared.iter().map(compared_line).collect::<String>()
}

fn record_line(measured: &Measured) -> String {
    let raw = measured.survey.raw_modulation_percent();
    let words = format!(
        "{} at {}, band to {}; mean {}, raw modulation {}",
        quantity(measured.survey.seconds(measured.rate_hz), "s"),
        quantity(measured.rate_hz, "Hz"),
        quantity(measured.band_hz, "Hz"),
        significant(measured.survey.mean, 4),
        raw.map_or("-".to_owned(), |raw| quantity(raw, "%")),
    );
    paragraph(&words, "")
}

fn figure_line(series: &Series) -> String {
    let value = match (series.worst, &series.reason) {
        (Some(worst), _) => quantity(worst, series.unit),
        (None, Some(reason)) => format!("not judged: {reason}"),
        (None, None) => "not judged".to_owned(),
    };
    paragraph(&format!("{:<22}{value}", series.name), "  ")
}

fn compared_line(compared: &Compared) -> String {
    let words = format!(
        "{} measured {}, simulated {} ({})",
        compared.name,
        quantity(compared.measured, compared.unit),
        quantity(compared.simulated, compared.unit),
        compared.at
    );
    paragraph(&words, "")
}
