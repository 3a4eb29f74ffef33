//! Ways of dimming side by side as JSON.

use serde_json::{Map, Value, json};

use crate::check::compare::{AnalogRow, Compared, ComparedRow, Comparison, UNITS};
use crate::report::Checked;
use crate::run::MetricRow;

/// A figure and its key.
type Figure = (&'static str, fn(&MetricRow) -> f64);

const FIGURES: [Figure; 6] = [
    ("svm", |row| row.svm),
    ("low_risk_margin", |row| row.low_risk),
    ("no_effect_margin", |row| row.no_effect),
    ("below_90_hz", |row| row.below_90_hz),
    ("visibility", |row| row.visibility),
    ("pst_lm_of_lines", |row| row.slow_flicker),
];

pub(super) fn comparison(checked: &Checked, comparison: &Comparison) -> Value {
    let ways = comparison
        .ways
        .iter()
        .map(|compared| way(checked, compared));
    let analog = comparison.analog.iter().map(|row| analog(checked, row));
    json!({
        "ways": ways.collect::<Vec<_>>(),
        "analog": { "units": UNITS, "lights": analog.collect::<Vec<_>>() },
    })
}

fn way(checked: &Checked, way: &Compared) -> Value {
    let worst = FIGURES.iter().map(|(key, figure)| {
        let found = way.worst(*figure);
        let worst = found.map(|(value, light)| json!({ "value": value, "light": light }));
        ((*key).to_owned(), json!(worst))
    });
    json!({
        "name": way.name,
        "exact_lines": way.is_exact,
        "worst": worst.collect::<Map<_, _>>(),
        "lights": way.rows.iter().map(|row| light(checked, row)).collect::<Vec<_>>(),
    })
}

fn light(checked: &Checked, row: &ComparedRow) -> Value {
    let mut object = Map::new();
    object.insert(
        "recipe".to_owned(),
        json!(checked.description.recipes[row.recipe].name),
    );
    object.insert("light".to_owned(), json!(row.flicker.light));
    for (key, figure) in FIGURES {
        object.insert(key.to_owned(), json!(figure(&row.flicker)));
    }
    object.insert("edges_hz".to_owned(), json!(row.edges_hz));
    object.insert("shortest_pulse_s".to_owned(), json!(row.shortest_pulse_s));
    object.insert("supply_peak".to_owned(), json!(row.supply_peak));
    object.insert("light_error".to_owned(), json!(row.light_error));
    object.into()
}

fn analog(checked: &Checked, row: &AnalogRow) -> Value {
    let [low, middle, high] = row.given;
    json!({
        "recipe": checked.description.recipes[row.recipe].name,
        "light": row.light,
        "light_given": { "low": low, "median": middle, "high": high },
        "light_error": row.light_error,
        "colour_error_uv": row.colour_error,
        "dark": row.dark,
        "supply": row.supply,
    })
}
