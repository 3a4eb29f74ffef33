//! `[requirements]`: the limits that the light is judged against.

use super::key::{Key, key};
use super::table::Table;
use super::value::{Number, above_to, from_to};
use super::{Problem, Requirements};

pub(super) const NAME: &str = "requirements";

const LOWEST_LIGHT: Key<Number, f64> = key("lowest_light_percent", from_to(0.001, 10.0, "%"), 0.1);
const AVERAGE_ERROR: Key<Number, f64> =
    key("average_error_percent", above_to(0.0, 100.0, "%"), 0.1);
const LIGHT_STEP: Key<Number, f64> = key("light_step_percent", above_to(0.0, 100.0, "%"), 1.0);
const RANGE_STEP: Key<Number, f64> = key("range_step_percent", above_to(0.0, 100.0, "%"), 0.2);
const EDGE_LIGHT: Key<Number, f64> = key("edge_light_percent", above_to(0.0, 100.0, "%"), 0.02);
const COLOUR_SHIFT: Key<Number, f64> = key("colour_shift_uv", above_to(0.0, 1.0, ""), 0.0011);
const DARK_GAP: Key<Number, f64> = key("dark_gap_ms", above_to(0.0, 10_000.0, "ms"), 1000.0 / 90.0);
const PULSE_HZ: Key<Number, f64> = key("pulse_hz", above_to(0.0, 1e6, "Hz"), 90.0);

const SVM: Key<Number, f64> = key("svm", above_to(0.0, 100.0, ""), 0.4);
const PST_LM: Key<Number, f64> = key("pst_lm", above_to(0.0, 100.0, ""), 1.0);
const NO_EFFECT: Key<Number, f64> = key("no_effect_margin", above_to(0.0, 1_000.0, ""), 1.0);
const SEIZURE: Key<Number, f64> = key("seizure_percent", above_to(0.0, 100.0, "%"), 5.0);
const VISIBILITY: Key<Number, f64> = key("visibility", above_to(0.0, 1_000.0, ""), 1.0);
const STEP_JND: Key<Number, f64> = key("step_jnd", above_to(0.0, 1_000.0, ""), 1.0);

const KEYS: [&str; 14] = [
    LOWEST_LIGHT.name,
    AVERAGE_ERROR.name,
    LIGHT_STEP.name,
    RANGE_STEP.name,
    EDGE_LIGHT.name,
    COLOUR_SHIFT.name,
    DARK_GAP.name,
    PULSE_HZ.name,
    SVM.name,
    PST_LM.name,
    NO_EFFECT.name,
    SEIZURE.name,
    VISIBILITY.name,
    STEP_JND.name,
];

pub(super) fn read(root: &Table<'_>) -> Result<Requirements, Problem> {
    read_table(&root.table(NAME)?.unwrap_or_else(Table::empty))
}

fn read_table(table: &Table<'_>) -> Result<Requirements, Problem> {
    table.only(&KEYS)?;
    Ok(Requirements {
        lowest_light: table.take(&LOWEST_LIGHT)? / 100.0,
        average_error: table.take(&AVERAGE_ERROR)? / 100.0,
        light_step: table.take(&LIGHT_STEP)? / 100.0,
        range_step: table.take(&RANGE_STEP)? / 100.0,
        edge_light: table.take(&EDGE_LIGHT)? / 100.0,
        colour_shift: table.take(&COLOUR_SHIFT)?,
        dark_gap_s: table.take(&DARK_GAP)? / 1000.0,
        pulse_hz: table.take(&PULSE_HZ)?,
        svm: table.take(&SVM)?,
        pst_lm: table.take(&PST_LM)?,
        no_effect_margin: table.take(&NO_EFFECT)?,
        seizure: table.take(&SEIZURE)? / 100.0,
        visibility: table.take(&VISIBILITY)?,
        step_jnd: table.take(&STEP_JND)?,
    })
}

impl Default for Requirements {
    fn default() -> Self {
        read_table(&Table::empty()).expect("every key has a default")
    }
}
