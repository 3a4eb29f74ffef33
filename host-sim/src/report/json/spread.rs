//! Spread as JSON.

use serde_json::{Value, json};

use crate::check::spread::{Deviation, PART, SpreadFigures, SpreadRow};
use crate::report::Checked;
use crate::run::From;

pub(super) fn spread(checked: &Checked, figures: &SpreadFigures) -> Value {
    let rows = figures.rows.iter().map(|row| place(checked, row));
    json!({
        "units": figures.units,
        "part": PART,
        "places": rows.collect::<Vec<_>>(),
    })
}

fn place(checked: &Checked, row: &SpreadRow) -> Value {
    let change = row.change.map(|change| {
        json!({
            "channel": checked.description.channels[change.channel].name,
            "row": change.row,
            "from": match change.from {
                From::Below => "below",
                From::Above => "above",
            },
        })
    });
    json!({
        "recipe": checked.description.recipes[row.recipe].name,
        "light": row.light,
        "change": change,
        "design_values": deviation(&row.design),
        "own_values": deviation(&row.own),
    })
}

fn deviation(deviation: &Deviation) -> Value {
    json!({
        "flux_error": deviation.flux,
        "light_error": deviation.light,
        "colour_error_uv": deviation.colour,
        "colour_shift_uv": deviation.shift,
        "light_step": deviation.light_step,
        "colour_step_uv": deviation.colour_step,
    })
}
