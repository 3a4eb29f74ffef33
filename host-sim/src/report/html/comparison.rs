//! Ways of dimming side by side.

use maud::{Markup, html};

use super::figures::{Figure, grid};
use crate::check::compare::{AnalogRow, Compared, ComparedRow, Comparison, UNITS};
use crate::numbers::{percent, quantity, significant};
use crate::report::Checked;
use crate::report::plots::{self, AgainstLight};
use crate::run::MetricRow;

pub(super) fn section(checked: &Checked, comparison: &Comparison) -> Markup {
    html! {
        section #comparison {
            h2 { "Side by side" }
            p {
                "This luminaire, its drivers and its clock under each way of dimming. First each figure at its worst light of all "
                "recipes, with that light; beyond a limit it is marked. Where lines cannot be told exactly (" em { "recorded" }
                ") they come from records of 2.1 s, up to 4 kHz, at four lights a decade: what is worse between is not seen. "
                "PstLM is what lines add up to. A pulse is as the stream has it; the supply peak is the most current at "
                "once, in full currents of a channel."
            }
            (worst(checked, comparison))
            (grid(&[figure(checked, comparison)]))
            @for light in lights(comparison) {
                details {
                    summary { "At " (percent(light)) " of full light" }
                    (at_light(checked, comparison, light))
                }
            }
            (analog(checked, &comparison.analog))
        }
    }
}

/// Name, limit and how a light gives it.
type Judged = (&'static str, f64, fn(&MetricRow) -> f64);

fn judged(checked: &Checked) -> [Judged; 6] {
    let asked = &checked.description.requirements;
    [
        ("SVM", asked.svm, |row| row.svm),
        ("low risk", 1.0, |row| row.low_risk),
        ("no effect", asked.no_effect_margin, |row| row.no_effect),
        ("below 90 Hz", asked.seizure, |row| row.below_90_hz),
        ("visibility", asked.visibility, |row| row.visibility),
        ("PstLM", asked.pst_lm, |row| row.slow_flicker),
    ]
}

fn shown(name: &str, value: f64) -> String {
    match name {
        "below 90 Hz" => percent(value),
        _ => significant(value, 3),
    }
}

fn worst(checked: &Checked, comparison: &Comparison) -> Markup {
    let judged = judged(checked);
    html! {
        div.scroll {
            table.flicker {
                thead {
                    tr {
                        th scope="col" { "At its worst" }
                        @for (name, ..) in judged { th.number scope="col" { (name) } }
                    }
                }
                tbody {
                    @for way in &comparison.ways {
                        tr {
                            th scope="row" { (way.name) @if !way.is_exact { " (recorded)" } }
                            @for (name, limit, of) in judged { (worst_cell(way, name, limit, of)) }
                        }
                    }
                }
            }
        }
    }
}

fn worst_cell(way: &Compared, name: &str, limit: f64, of: fn(&MetricRow) -> f64) -> Markup {
    let (value, light) = way.worst(of).unwrap_or_default();
    let place = format!("{} %", significant(100.0 * light, 3));
    html! {
        td.number {
            span.fail[value > limit] { (shown(name, value)) }
            @if value > 0.0 { br; small { "at " (place) } }
        }
    }
}

fn figure(checked: &Checked, comparison: &Comparison) -> Figure {
    let drawn = AgainstLight {
        title: "IEEE 1789 no-effect margin",
        unit: "",
        limit: checked.description.requirements.no_effect_margin,
        of: |row| row.no_effect,
    };
    let recipe = checked.description.recipes.first();
    let recipe = recipe.map_or("", |recipe| &recipe.name);
    let caption = format!(
        "The worst line of {recipe} over its limit, a line a way of dimming. What is less than the axis shows stands at its low end."
    );
    Figure::new(
        plots::ways(comparison, &drawn),
        "No-effect margin against light",
        &caption,
    )
}

/// From the highest down.
fn lights(comparison: &Comparison) -> Vec<f64> {
    let first = comparison.analog.iter().filter(|row| row.recipe == 0);
    first.map(|row| row.light).collect()
}

fn at_light(checked: &Checked, comparison: &Comparison, light: f64) -> Markup {
    let judged = judged(checked);
    let ways = comparison.ways.iter();
    let rows = ways.flat_map(|way| {
        let here = way
            .rows
            .iter()
            .filter(move |row| row.flicker.light == light);
        here.map(move |row| (way, row))
    });
    html! {
        div.scroll {
            table.flicker {
                thead {
                    tr {
                        th scope="col" { "Way" }
                        @for (name, ..) in judged { th.number scope="col" { (name) } }
                        th.number scope="col" { "edges a second" }
                        th.number scope="col" { "shortest pulse" }
                        th.number scope="col" { "supply peak" }
                        th.number scope="col" { "light off" }
                    }
                }
                tbody {
                    @for (way, row) in rows {
                        tr {
                            th scope="row" { (way.name) ", " (checked.description.recipes[row.recipe].name) }
                            @for (name, limit, of) in judged {
                                td.number { span.fail[of(&row.flicker) > limit] { (shown(name, of(&row.flicker))) } }
                            }
                            (stream_cells(row))
                        }
                    }
                }
            }
        }
    }
}

fn stream_cells(row: &ComparedRow) -> Markup {
    let pulse = row.shortest_pulse_s.map(|seconds| quantity(seconds, "s"));
    html! {
        td.number { (significant(row.edges_hz, 3)) }
        td.number { (pulse.unwrap_or_else(|| "-".to_owned())) }
        td.number { (significant(row.supply_peak, 3)) }
        td.number { (signed_percent(row.light_error)) }
    }
}

fn signed_percent(fraction: f64) -> String {
    match fraction.abs() < 5e-6 {
        true => "0 %".to_owned(),
        false => format!("{} %", significant(100.0 * fraction, 2)),
    }
}

fn analog(checked: &Checked, rows: &[AnalogRow]) -> Markup {
    html! {
        h3 { "Plain analog dimming" }
        p {
            "The set point alone, no pulses, so no flicker: what the tolerances in " code { "[analog]" } " leave of it, drawn evenly for "
            (UNITS) " units. The light that the middle 95 % of them give, and how far 95 % stay from the light asked for "
            "and from the colour at full."
        }
        div.scroll {
            table.flicker {
                thead {
                    tr {
                        th scope="col" { "Set point" }
                        th.number scope="col" { "gives from" }
                        th.number scope="col" { "to" }
                        th.number scope="col" { "light off" }
                        th.number scope="col" { "colour off, u'v'" }
                        th.number scope="col" { "a channel dark" }
                        th.number scope="col" { "supply" }
                    }
                }
                tbody { @for row in rows { (analog_row(checked, row)) } }
            }
        }
    }
}

fn analog_row(checked: &Checked, row: &AnalogRow) -> Markup {
    let [low, _, high] = row.given;
    html! {
        tr {
            th scope="row" { (checked.description.recipes[row.recipe].name) ", " (percent(row.light)) }
            td.number { (percent(low)) }
            td.number { (percent(high)) }
            td.number { (percent(row.light_error)) }
            td.number { (significant(row.colour_error, 3)) }
            td.number { (percent(row.dark)) " of units" }
            td.number { (significant(row.supply, 3)) }
        }
    }
}
