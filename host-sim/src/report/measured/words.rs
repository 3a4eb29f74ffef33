//! What the terminal shows below the verdicts: every figure, the doubts, the comparison.

use crate::measure::{Compared, Measured, Series};
use crate::numbers::{quantity, significant};
use crate::report::WIDTHS;
use crate::report::terminal::paragraph;

/// Figures, one a line, then warnings and, if asked for, the comparison, in lines of `width` columns, taken into
/// [`WIDTHS`].
#[must_use]
pub fn words(measured: &Measured, compared: &[Compared], width: usize) -> String {
    let width = width.clamp(*WIDTHS.start(), *WIDTHS.end());
    let record = [record_line(measured)];
    let warnings = measured.warnings.iter();
    let warnings = warnings.map(|warning| format!("warning: {}", warning.message));
    let compared = compared.iter().map(compared_line);
    let unindented = |words: String| paragraph(&words, "", width);
    let figures = measured.series.iter();
    let figures = figures.map(|series| paragraph(&figure_line(series), "  ", width));
    let rest = warnings.chain(compared).map(unindented);
    record
        .into_iter()
        .map(unindented)
        .chain(figures)
        .chain(rest)
        .collect()
}

fn record_line(measured: &Measured) -> String {
    let raw = measured.survey.raw_modulation_percent();
    format!(
        "{} at {}, band to {}; mean {}, raw modulation {}",
        quantity(measured.survey.seconds(measured.rate_hz), "s"),
        quantity(measured.rate_hz, "Hz"),
        quantity(measured.band_hz, "Hz"),
        significant(measured.survey.mean, 4),
        raw.map_or("-".to_owned(), |raw| quantity(raw, "%")),
    )
}

fn figure_line(series: &Series) -> String {
    let value = match (series.worst, &series.reason) {
        (Some(worst), _) => quantity(worst, series.unit),
        (None, Some(reason)) => format!("not judged: {reason}"),
        (None, None) => "not judged".to_owned(),
    };
    format!("{:<22}{value}", series.name)
}

fn compared_line(compared: &Compared) -> String {
    format!(
        "{} measured {}, simulated {} ({})",
        compared.name,
        quantity(compared.measured, compared.unit),
        quantity(compared.simulated, compared.unit),
        compared.at
    )
}
