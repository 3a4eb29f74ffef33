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
        @for recipe in &checked.observed.warmed { (table(checked, recipe)) }
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

fn table(checked: &Checked, recipe: &WarmedRecipe) -> Markup {
    let names = checked.description.recipes.iter();
    let name = names.map(|recipe| &recipe.name).nth(recipe.recipe);
    let lights: Vec<f64> = checked
        .observed
        .holds
        .iter()
        .map(|hold| hold.light)
        .collect();
    let rows = recipe.rows.iter();
    let shown = rows.filter(|row| row.when == WarmedWhen::AfterFull || lights.contains(&row.light));
    html! {
        div.scroll {
            table {
                caption { "Recipe " (name.map_or("", |name| name)) }
                thead { tr {
                    @for head in ["light", "shift without", "with", "warmest without, °C", "flux without, lm", "with",
                        "power without, W", "with", "drift, nm"] {
                        th scope="col" { (head) }
                    }
                } }
                tbody { @for row in shown { (table_row(row)) } }
            }
        }
    }
}

fn table_row(row: &Warmed) -> Markup {
    let when = match row.when {
        WarmedWhen::Settled => "",
        WarmedWhen::AfterFull => ", 1 s after full",
    };
    let steps = |state: &WarmState| significant(state.shift / N_STEP, 3);
    let short = |value: f64| significant(value, 3);
    let warmest = row.plain.junctions.iter().copied().fold(f64::MIN, f64::max);
    let [least, most] = wavelength_drift(&row.plain).map(short);
    let (plain, corrected) = (&row.plain, &row.corrected);
    html! {
        tr {
            td { (percent(row.light)) (when) }
            td { (steps(plain)) }
            td { (steps(corrected)) }
            td { (short(warmest)) }
            td { (short(plain.flux_lm)) }
            td { (short(corrected.flux_lm)) }
            td { (short(plain.power_w)) }
            td { (short(corrected.power_w)) }
            td { (least) " to " (most) }
        }
    }
}

fn powers(checked: &Checked) -> Markup {
    let cap = checked.description.board.power_cap_w;
    let over = |power: f64| cap.is_some_and(|cap| power > cap * (1.0 + 1e-5));
    let cell = |power: f64| {
        html! { td.number { (significant(power, 3)) @if over(power) { " (above the cap)" } } }
    };
    let ends = checked
        .observed
        .fade_powers
        .iter()
        .zip(&checked.description.script);
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
                    @for (i, (power, fade)) in ends.enumerate() {
                        tr {
                            th scope="row" { (i + 1) }
                            td { (checked.description.recipes[fade.recipe].name) }
                            @for power in power.peak_w { (cell(power)) }
                        }
                    }
                }
            }
        }
    }
}
