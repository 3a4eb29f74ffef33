//! Colour and power of the warm luminaire.

use maud::{Markup, html};

use super::figures::{Figure, grid};
use crate::metrics::N_STEP;
use crate::numbers::{percent, significant};
use crate::report::Checked;
use crate::report::plots;
use crate::report::wavelength_drift::wavelength_drift;
use crate::run::{Warmed, WarmedRecipe, WarmedWhen};
use crate::thermal::WarmState;

pub(super) fn section(checked: &Checked) -> Markup {
    let observed = &checked.observed;
    html! {
        @if !(observed.warmed.is_empty() && observed.fade_powers.is_empty()) {
            section #warm {
                h2 { "The warm luminaire" }
                @if !observed.warmed.is_empty() { (colour(checked)) }
                @if !observed.fade_powers.is_empty() { (powers(checked)) }
            }
        }
    }
}

fn colour(checked: &Checked) -> Markup {
    let runs = if checked.description.board.flux_correction {
        "runs"
    } else {
        "does not run"
    };
    html! {
        p {
            "A junction is as warm as the board (" (significant(checked.description.board.celsius, 3)) " °C) and warmer by its "
            "thermal resistance times its power. This firmware " (runs) " the flux correction, by which the verdict goes; the other "
            "figure stands for comparison. Shifts count from the recipe's colour, in n-steps of 0.0011 in u′v′."
        }
        (grid(&[figure(checked, false), figure(checked, true)]))
        (table(checked))
        p {
            "Drift is how far the peak of the warmest channel moves against 25 °C: 0.03 to 0.15 nm a degree, typical ranges from "
            "memory. It shifts the colour as well; it is reported here and not corrected."
        }
    }
}

fn figure(checked: &Checked, is_corrected: bool) -> Figure {
    let (title, caption) = if is_corrected {
        (
            "Shift against light, with flux correction",
            "The correction believes the board's sensor and the tables: where they are wrong, so is the colour. What is below a \
             hundredth of an n-step stands at the low end.",
        )
    } else {
        (
            "Shift against light, without flux correction",
            "Every light has lasted until nothing warms any further. The brighter, the warmer, and channels lose flux unequally. Lines \
             should stay below the dashes.",
        )
    };
    Figure::new(plots::warm_shift(checked, is_corrected), title, caption)
}

const HEADS: [&str; 8] = [
    "n-steps without correction",
    "with",
    "warmest junction without, °C",
    "flux without, lm",
    "with",
    "power without, W",
    "with",
    "drift, nm",
];

fn table(checked: &Checked) -> Markup {
    html! {
        div.scroll {
            table.flicker.close {
                thead { tr {
                    th scope="col" { "Recipe and light" }
                    @for head in HEADS { th.number scope="col" { (head) } }
                } }
                tbody { @for warmed in &checked.observed.warmed { (rows(checked, warmed)) } }
            }
        }
    }
}

/// At the lights that are held.
fn rows(checked: &Checked, warmed: &WarmedRecipe) -> Markup {
    let held = |light: f64| {
        checked
            .observed
            .holds
            .iter()
            .any(|hold| hold.light == light)
    };
    let name = &checked.description.recipes[warmed.recipe].name;
    let rows = warmed.rows.iter();
    let shown = rows.filter(|row| row.when == WarmedWhen::AfterFull || held(row.light));
    html! { @for row in shown { (table_row(name, row)) } }
}

fn table_row(name: &str, row: &Warmed) -> Markup {
    let when = match row.when {
        WarmedWhen::Settled => "",
        WarmedWhen::AfterFull => ", 1 s after full",
    };
    let short = |value: f64| significant(value, 3);
    let steps = |state: &WarmState| short(state.shift / N_STEP);
    let warmest = row.plain.junctions.iter().copied().fold(f64::MIN, f64::max);
    let [least, most] = wavelength_drift(&row.plain).map(|nm| significant(nm, 2));
    let (plain, corrected) = (&row.plain, &row.corrected);
    let cells = [
        steps(plain),
        steps(corrected),
        short(warmest),
        short(plain.flux_lm),
        short(corrected.flux_lm),
        short(plain.power_w),
        short(corrected.power_w),
        format!("{least} to {most}"),
    ];
    html! {
        tr {
            th scope="row" { (name) ", " (percent(row.light)) (when) }
            @for cell in cells { td.number { (cell) } }
        }
    }
}

fn powers(checked: &Checked) -> Markup {
    let cap = checked.description.board.power_cap_w;
    let over = |power: f64| cap.is_some_and(|cap| power > cap * (1.0 + 1e-5));
    let cell = |power: f64| {
        html! { td.number { (significant(power, 3)) @if over(power) { " (above the cap)" } } }
    };
    let recipe = |recipe: usize| checked.description.recipes[recipe].name.as_str();
    let goals = match checked.description.bus {
        Some(_) => vec!["the log's end"],
        None => {
            let fades = checked.description.script.iter();
            fades.map(|fade| recipe(fade.recipe)).collect()
        }
    };
    let ends = checked.observed.fade_powers.iter().zip(goals);
    let caption = "Electrical power of all channels, at each place of the script the highest nearby. With the correction a warm luminaire \
                   takes more, to give the flux that it has lost.";
    let figure = Figure::new(plots::power(checked), "Power through the script", caption);
    html! {
        h3 { "Power through the script" }
        p {
            @match cap {
                Some(cap) => { "Highest electrical power of each fade; the flux correction keeps to " (significant(cap, 3)) " W." }
                None => { "Highest electrical power of each fade; the file names no cap (" code { "power_cap_w" } " in [board])." }
            }
        }
        (grid(&[figure]))
        div.scroll {
            table.flicker {
                thead { tr {
                    @for head in ["fade", "to"] { th scope="col" { (head) } }
                    @for head in ["without correction, W", "with, W"] { th.number scope="col" { (head) } }
                } }
                tbody {
                    @for (i, (power, goal)) in ends.enumerate() {
                        tr {
                            th scope="row" { (i + 1) }
                            td { (goal) }
                            @for power in power.peak_w { (cell(power)) }
                        }
                    }
                }
            }
        }
    }
}
