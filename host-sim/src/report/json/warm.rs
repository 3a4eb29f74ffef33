//! The recipes in the warm luminaire.

use serde_json::{Value, json};

use crate::report::Checked;
use crate::report::wavelength_drift::wavelength_drift;
use crate::run::{Warmed, WarmedWhen};
use crate::thermal::WarmState;

pub(super) fn warm(checked: &Checked) -> Value {
    let recipes = checked.observed.warmed.iter().flat_map(|warmed| {
        let name = &checked.description.recipes[warmed.recipe].name;
        warmed.rows.iter().map(move |row| object(name, row))
    });
    let fades = checked.observed.fade_powers.iter().map(
        |fade| json!({ "peak_power_w": fade.peak_w[0], "corrected_peak_power_w": fade.peak_w[1] }),
    );
    json!({ "recipes": recipes.collect::<Vec<_>>(), "fades": fades.collect::<Vec<_>>() })
}

fn object(recipe: &str, row: &Warmed) -> Value {
    json!({
        "recipe": recipe,
        "light": row.light,
        "after_full_s": (row.when == WarmedWhen::AfterFull).then_some(1.0),
        "plain": state(&row.plain),
        "corrected": state(&row.corrected),
        "wavelength_drift_nm": wavelength_drift(&row.plain),
    })
}

fn state(state: &WarmState) -> Value {
    json!({
        "delta_uv": state.shift,
        "junctions_celsius": state.junctions,
        "flux_lm": state.flux_lm,
        "power_w": state.power_w,
    })
}
