//! The page of a measured waveform, in the look of the report of `check`.

use maud::{Markup, html as markup};

use crate::measure::{Compared, Measured, Series, Shown};
use crate::metrics::flicker::Samples;
use crate::numbers::{quantity, significant};
use crate::report::html::{figures, page, verdicts};
use crate::report::plots;
use crate::verdict::Outcome;
use figures::Figure;

/// Periods of the strongest line that the near view shows, and what it shows at most, in s.
const PERIODS: f64 = 8.0;
const NEAR_S: f64 = 0.2;

/// The page.
#[must_use]
pub fn html(measured: &Measured, compared: &[Compared]) -> String {
    let body = markup! {
        (header(measured))
        main {
            (verdicts::section(&measured.verdicts))
            (warnings(measured))
            (plotted(measured))
            (all_figures(measured))
            @if !compared.is_empty() { (comparison(compared)) }
            (cautions())
        }
    };
    page(
        &format!("{}: {}", measured.origin, outcome(measured)),
        &body,
    )
}

fn outcome(measured: &Measured) -> &'static str {
    match (measured.count(Outcome::Fail), measured.count(Outcome::Pass)) {
        (0, 0) => "not judged",
        (0, _) => "passed",
        _ => "failed",
    }
}

fn header(measured: &Measured) -> Markup {
    markup! {
        header {
            h1 { (measured.origin) }
            p.outcome { "Measurement " strong.fail[measured.count(Outcome::Fail) > 0] { (outcome(measured)) } }
            p {
                (quantity(measured.survey.seconds(measured.rate_hz), "s")) " at "
                (quantity(measured.rate_hz, "Hz")) ", band to " (quantity(measured.band_hz, "Hz"))
                ", dark level " (significant(measured.dark_level, 4)) " taken off."
            }
        }
    }
}

fn warnings(measured: &Measured) -> Markup {
    markup! {
        @if !measured.warnings.is_empty() {
            section #warnings {
                h2 { "Doubts" }
                ul { @for warning in &measured.warnings { li { (warning.message) } } }
            }
        }
    }
}

fn plotted(measured: &Measured) -> Markup {
    let mut drawn = Vec::new();
    if let Some(shown) = &measured.shown {
        let title = format!("the segment from {} s", significant(shown.begin_s, 6));
        drawn.extend(views(measured, shown, &title));
        drawn.push(Figure::new(
            plots::spectrum(&shown.lines),
            &format!("Spectrum, {title}"),
            "Lines 1 Hz wide against the limits of IEEE 1789-2015; what stands above a limit breaks it. That each line \
             is held against the curve by itself is our reading.",
        ));
    }
    if let Some((begin_s, severity)) = &measured.severity {
        drawn.push(Figure::new(
            plots::pinst(severity),
            &format!("Pinst from {} s", significant(*begin_s, 6)),
            "Momentary flicker of the worst segment; the first 20 s settle the meter.",
        ));
    }
    figures::section("waveform", "The light", &drawn)
}

/// The whole segment, and some periods of it.
fn views(measured: &Measured, shown: &Shown, title: &str) -> Vec<Figure> {
    let rate_hz = measured.judged_at.0;
    let strongest = crate::metrics::flicker::spectrum::dominant(&shown.lines);
    let near_s = strongest.map_or(NEAR_S, |line| (PERIODS / line.frequency_hz).min(NEAR_S));
    let near = ((near_s * rate_hz).ceil() as usize).clamp(2, shown.values.len().max(2));
    let view = |values| plots::waveform(Samples { rate_hz, values });
    let whole = view(&shown.values).map(|svg| {
        Figure::new(
            svg,
            &format!("Light, {title}"),
            "Its least and largest value at each place.",
        )
    });
    let close = shown.values.get(..near).and_then(view).map(|svg| {
        Figure::new(
            svg,
            "The same, its begin",
            "Some periods of the strongest line.",
        )
    });
    whole.into_iter().chain(close).collect()
}

fn all_figures(measured: &Measured) -> Markup {
    markup! {
        section #figures {
            h2 { "Every figure" }
            p { "Of a record in segments the worst, the median, and when the worst was." }
            div.scroll {
                table {
                    thead { tr { th { "Metric" } th { "Worst" } th { "Median" } th { "At" } th { "Segments" } th { "Not judged" } } }
                    tbody { @for series in &measured.series { (row(series)) } }
                }
            }
        }
    }
}

fn row(series: &Series) -> Markup {
    let value =
        |value: Option<f64>| value.map_or("–".to_owned(), |value| quantity(value, series.unit));
    let at = series.worst_at_s.map_or("–".to_owned(), |(begin, end)| {
        format!("{} to {} s", significant(begin, 6), significant(end, 6))
    });
    markup! {
        tr {
            th scope="row" { (series.name) }
            td { (value(series.worst)) } td { (value(series.median)) } td { (at) } td { (series.judged) }
            td { @if let Some(reason) = &series.reason { (series.not_judged) ": " (reason) } @else { "0" } }
        }
    }
}

fn comparison(compared: &[Compared]) -> Markup {
    markup! {
        section #against {
            h2 { "Beside the simulation" }
            div.scroll {
                table {
                    thead { tr { th { "Metric" } th { "Simulated light" } th { "Measured" } th { "Simulated" } } }
                    tbody {
                        @for one in compared {
                            tr {
                                th scope="row" { (one.name) } td { (one.at) }
                                td { (quantity(one.measured, one.unit)) } td { (quantity(one.simulated, one.unit)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn cautions() -> Markup {
    markup! {
        section #cautions {
            h2 { "Cautions" }
            p {
                "The figures are as good as the probe: its linearity, its band and where it stood are not known here. "
                "This is no accredited measurement."
            }
            p {
                "Flickering light can harm photosensitive people. Do not show a light that pulses below "
                "90 Hz to anybody who has not agreed to it, and stop at the first discomfort."
            }
        }
    }
}
