//! What most units of a series hold.

use maud::{Markup, html};

use crate::check::spread::{Deviation, PART, SpreadFigures, SpreadRow};
use crate::numbers::{percent, significant};
use crate::report::Checked;
use crate::run::From;

pub(super) fn section(checked: &Checked, figures: &SpreadFigures) -> Markup {
    let (changes, held): (Vec<_>, Vec<_>) =
        figures.rows.iter().partition(|row| row.change.is_some());
    html! {
        section #spread {
            h2 { "Spread of units" }
            p {
                "What " (percent(PART)) " of " (figures.units) " units hold that are drawn evenly from the tolerances in "
                code { "[spread]" } " and " code { "tick_tolerance_percent" } ", each figure by itself. " em { "Design" }
                ": the firmware holds the design's values. " em { "Own" } ": it holds what was measured of the unit: the edges and "
                "ratios of its operating tables, and its channels turned down to the weakest of the recipe. Its chromaticities "
                "are left as they are. " em { "Off the curve" } " is against the unit's own full light."
            }
            (table("Light", &HELD, &held, |row| place(checked, row)))
            @if !changes.is_empty() {
                h3 { "Across changes of row" }
                p { "What the light steps beyond the curve, and the colour, from one Level to the next." }
                (table("Change", &CHANGED, &changes, |row| change(checked, row)))
            }
        }
    }
}

/// A figure: its name, how a unit gives it, and how it is shown.
type Figure = (&'static str, fn(&Deviation) -> f64, fn(f64) -> String);

const HELD: [Figure; 4] = [
    ("off the curve", |unit| unit.light, percent),
    ("flux off", |unit| unit.flux, percent),
    ("colour off, u'v'", |unit| unit.colour, uv),
    ("colour shift, u'v'", |unit| unit.shift, uv),
];

const CHANGED: [Figure; 2] = [
    ("light step", |unit| unit.light_step, percent),
    ("colour step, u'v'", |unit| unit.colour_step, uv),
];

fn uv(distance: f64) -> String {
    significant(distance, 3)
}

fn place(checked: &Checked, row: &SpreadRow) -> String {
    let recipe = &checked.description.recipes[row.recipe].name;
    format!("{recipe}, {} %", significant(100.0 * row.light, 3))
}

fn change(checked: &Checked, row: &SpreadRow) -> String {
    let way = row.change.map_or(String::new(), |change| {
        let channel = &checked.description.channels[change.channel].name;
        match change.from {
            From::Below => format!(": {channel} into row {}, going up", change.row),
            From::Above => format!(": {channel} out of row {}, going down", change.row),
        }
    });
    place(checked, row) + &way
}

fn table(
    first: &str,
    figures: &[Figure],
    rows: &[&SpreadRow],
    name: impl Fn(&SpreadRow) -> String,
) -> Markup {
    html! {
        div.scroll {
            table.flicker {
                thead {
                    tr {
                        th scope="col" { (first) }
                        @for (title, ..) in figures {
                            th.number scope="col" { (title) ", design" }
                            th.number scope="col" { "own" }
                        }
                    }
                }
                tbody {
                    @for row in rows {
                        tr {
                            th scope="row" { (name(row)) }
                            @for (_, of, shown) in figures {
                                td.number { (shown(of(&row.design))) }
                                td.number { (shown(of(&row.own))) }
                            }
                        }
                    }
                }
            }
        }
    }
}
