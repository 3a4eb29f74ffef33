//! The figures of flicker of a recipe, a column a test light.

use maud::{Markup, html};

use crate::metrics::flicker::filtered_modulation::CUT_OFFS_HZ;
use crate::metrics::flicker::temporal_visibility::Model;
use crate::numbers::{percent, quantity};
use crate::report::Checked;
use crate::run::Flicker;

/// A figure: what it is, its unit and limit, and how a light gives it.
struct Row {
    name: String,
    unit: &'static str,
    limit: Limit,
    value: Box<Figure>,
    /// The frequency that the figure belongs to.
    at_hz: fn(&Flicker) -> Option<f64>,
}

type Figure = dyn Fn(&Flicker) -> Option<f64>;

enum Limit {
    None,
    AtMost(f64),
    Information,
}

fn row(name: &str, unit: &'static str, value: fn(&Flicker) -> f64) -> Row {
    Row {
        name: name.to_owned(),
        unit,
        limit: Limit::None,
        value: Box::new(move |at| Some(value(at))),
        at_hz: |_| None,
    }
}

impl Row {
    fn at_most(self, limit: f64) -> Self {
        Self {
            limit: Limit::AtMost(limit),
            ..self
        }
    }

    fn is_over(&self, value: f64) -> bool {
        matches!(self.limit, Limit::AtMost(limit) if value > limit)
    }
}

pub(super) fn table(checked: &Checked, lights: &[&Flicker]) -> Markup {
    html! {
        div.scroll {
            table.flicker {
                thead {
                    tr {
                        th scope="col" { "Light" }
                        th.number scope="col" { "Limit" }
                        @for at in lights { th.number scope="col" { (percent(at.light)) } }
                    }
                }
                tbody {
                    @for row in rows(checked) { (line(&row, lights)) }
                    (models(checked, lights))
                }
            }
        }
    }
}

fn line(row: &Row, lights: &[&Flicker]) -> Markup {
    html! {
        tr {
            th scope="row" { (row.name) }
            td.number { (limit(row)) }
            @for at in lights { td.number { (cell(row, at)) } }
        }
    }
}

fn limit(row: &Row) -> String {
    match row.limit {
        Limit::None => String::new(),
        Limit::AtMost(limit) => format!("≤ {}", quantity(limit, row.unit)),
        Limit::Information => "information".to_owned(),
    }
}

fn cell(row: &Row, at: &Flicker) -> Markup {
    html! {
        @if let Some(value) = (row.value)(at) {
            span.fail[row.is_over(value)] { (quantity(value, row.unit)) }
            @if let Some(hertz) = (row.at_hz)(at) { br; small { "at " (quantity(hertz, "Hz")) } }
        } @else { "–" }
    }
}

fn models(checked: &Checked, lights: &[&Flicker]) -> Markup {
    html! {
        tr {
            th scope="row" { "model of temporal visibility" }
            td {}
            @for at in lights { td.number { small { (model(checked, at).name()) } } }
        }
    }
}

/// The sensitivity that the visibility of a light is judged by.
pub(super) fn model(checked: &Checked, at: &Flicker) -> Model {
    Model::at(checked.description.full_output_cd_m2 * at.light)
}

fn rows(checked: &Checked) -> Vec<Row> {
    let mut rows = swings();
    rows.extend(judged(checked));
    rows.push(row("visibility by the bound S = 500", "", |at| {
        at.visibility_bound
    }));
    rows.push(Row {
        value: Box::new(|at| at.phantom_array),
        limit: Limit::Information,
        ..row("phantom array, over the threshold", "", |_| 0.0)
    });
    rows.push(Row {
        value: Box::new(|at| chromatic(at).map(|line| line.1)),
        limit: Limit::Information,
        at_hz: |at| chromatic(at).map(|line| line.0),
        ..row("chromatic flicker, u'v' amplitude up to 2 kHz", "", |_| 0.0)
    });
    rows
}

/// The strongest line of the colour's swing.
pub(in crate::report) fn chromatic(at: &Flicker) -> Option<(f64, f64)> {
    let lines = at.chromatic.iter().copied();
    lines.max_by(|a, b| a.1.total_cmp(&b.1))
}

fn swings() -> Vec<Row> {
    let mut rows = vec![
        row("mean flux", "lm", |at| at.mean_lm),
        row("percent flicker, limited to 20 kHz", "%", |at| {
            at.limited.percent
        }),
        row("percent flicker, raw", "%", |at| at.raw.percent),
        row("flicker index, limited to 20 kHz", "", |at| {
            at.limited.flicker_index
        }),
        row("flicker index, raw", "", |at| at.raw.flicker_index),
    ];
    rows.extend(CUT_OFFS_HZ.iter().enumerate().map(|(i, cut_off)| Row {
        value: Box::new(move |at| Some(at.filtered_percent[i])),
        ..row(&format!("percent flicker below {cut_off} Hz"), "%", |_| 0.0)
    }));
    rows.push(Row {
        value: Box::new(|at| at.dominant_hz),
        ..row("dominant frequency", "Hz", |_| 0.0)
    });
    rows
}

fn judged(checked: &Checked) -> [Row; 6] {
    let asked = &checked.description.requirements;
    let low_risk = Row {
        value: Box::new(|at| at.low_risk.map(|worst| worst.margin)),
        at_hz: |at| at.low_risk.map(|worst| worst.frequency_hz),
        ..row("IEEE 1789 low risk, line over its limit", "", |_| 0.0)
    };
    let no_effect = Row {
        value: Box::new(|at| at.no_effect.map(|worst| worst.margin)),
        at_hz: |at| at.no_effect.map(|worst| worst.frequency_hz),
        ..row("IEEE 1789 no effect, line over its limit", "", |_| 0.0)
    };
    [
        row("SVM", "", |at| at.svm).at_most(asked.svm),
        row("PstLM", "", |at| at.pst_lm).at_most(asked.pst_lm),
        low_risk.at_most(1.0),
        no_effect.at_most(asked.no_effect_margin),
        row("modulation below 90 Hz, at most", "1", |at| at.below_90_hz).at_most(asked.seizure),
        row("temporal visibility", "", |at| at.visibility).at_most(asked.visibility),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    fn text(checked: &Checked) -> String {
        let lights: Vec<_> = checked.observed.flicker[..5].iter().collect();
        table(checked, &lights).into_string()
    }

    #[test]
    fn what_is_beyond_its_limit_is_marked_and_information_never_is() {
        let mut checked = fixture::checked();
        for at in &mut checked.observed.flicker {
            (at.svm, at.phantom_array) = (0.1, Some(0.1));
        }
        let marked = |checked: &Checked| text(checked).matches("class=\"fail\"").count();
        let before = marked(&checked);
        checked.observed.flicker[2].svm = 0.5;
        checked.observed.flicker[2].phantom_array = Some(80.0);
        assert_eq!(marked(&checked), before + 1);
        assert!(text(&checked).contains(">80<"));
    }

    #[test]
    fn a_margin_stands_with_its_frequency_and_a_missing_figure_is_a_dash() {
        let mut checked = fixture::checked();
        let worst = crate::run::WorstLine {
            frequency_hz: 123.0,
            margin: 0.77,
        };
        checked.observed.flicker[1].no_effect = Some(worst);
        assert!(text(&checked).contains(">0.77</span><br><small>at 123 Hz</small>"));
        let dashes = text(&checked).matches("–").count();
        checked.observed.flicker[1].no_effect = None;
        assert_eq!(text(&checked).matches("–").count(), dashes + 1);
    }

    #[test]
    fn each_light_names_the_model_of_its_luminance() {
        let text = text(&fixture::checked());
        assert!(text.contains("Watson") && text.contains("Barten"));
    }
}
