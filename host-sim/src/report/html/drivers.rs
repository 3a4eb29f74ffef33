//! Drivers: edges, pulses, currents, operating rows and supply.

use maud::{Markup, html};

use super::drivers_table::table;
use super::figures::{Figure, grid};
use crate::numbers::{percent, quantity};
use crate::optics::drivers::Driver;
use crate::report::Checked;
use crate::report::plots;
use crate::run::{Driving, TableOverLight};

pub(super) fn sections(checked: &Checked) -> Markup {
    html! {
        (drivers(checked))
        (rows(checked))
        (errors(checked))
        (supply(checked))
    }
}

fn recipes<'c>(checked: &'c Checked, of_recipe: impl Fn(&[&'c Driving]) -> Markup) -> Markup {
    let recipes = checked.description.recipes.iter().enumerate();
    html! {
        @for (i, recipe) in recipes {
            details open[i == 0] {
                summary { "Recipe " (recipe.name) }
                (of_recipe(&at_lights(checked, i)))
            }
        }
    }
}

fn at_lights(checked: &Checked, recipe: usize) -> Vec<&Driving> {
    let all = checked.observed.driving.iter();
    all.filter(|driving| driving.recipe == recipe).collect()
}

fn drivers(checked: &Checked) -> Markup {
    let channels = &checked.description.channels;
    let ideal = channels
        .iter()
        .all(|channel| channel.driver == Driver::Ideal);
    html! {
        section #drivers {
            h2 { "Drivers at the test lights" }
            p {
                "Information: what each driver must follow, and what it makes of it. Both edges of a pulse count. The "
                "error of the light is given as it is with the light of edges given back, and as it would be without."
            }
            @if !ideal {
                p {
                    "In the drawings bars are the stream and lines the current, over the full current of the set point in force. "
                    "A current that rises and falls with its bar is a pulse still; one that stays low, or lasts "
                    "far beyond its bar, is not."
                }
            }
            (recipes(checked, |lights| html! {
                (table(checked, lights))
                @if !ideal { div.three { (grid(&zooms(checked, lights))) } }
            }))
        }
    }
}

fn zooms(checked: &Checked, lights: &[&Driving]) -> Vec<Figure> {
    let figure = |driving: &&Driving| {
        Figure::new(
            plots::zooms(checked, driving),
            &format!("Current at {} of full light", percent(driving.light)),
            "Each channel about a pulse of its own; ten decisions, all on one scale of time.",
        )
    };
    lights.iter().map(figure).collect()
}

/// Only tables that have something to choose from.
fn rows(checked: &Checked) -> Markup {
    let tables = checked.observed.tables.iter();
    let tables: Vec<_> = tables.filter(|table| table.rows.len() > 1).collect();
    let figure = |table: &&TableOverLight| {
        let names = table
            .channels
            .iter()
            .map(|&k| &*checked.description.channels[k].name);
        let title = format!("Rows of {}", names.collect::<Vec<_>>().join(", "));
        Figure::new(
            plots::operating_rows(checked, table),
            &title,
            "Each line is a row: range and ticks a decision stand above it. A lower range lifts the pulse rate, a longer decision \
             lowers it, and edges with it. Where two lines overlap, hysteresis keeps the row that the light comes from. \
             All should stay above the dashes, the lowest rate asked for.",
        )
    };
    let figures: Vec<_> = tables.iter().map(figure).collect();
    html! {
        @if !figures.is_empty() {
            section #operating-rows { h2 { "Operating rows" } (grid(&figures)) }
        }
    }
}

fn errors(checked: &Checked) -> Markup {
    let errors = checked.observed.light_errors.iter();
    let figures = errors.map(|errors| {
        let recipe = &checked.description.recipes[errors.recipe].name;
        Figure::new(
            plots::light_errors(checked, errors),
            &format!("Light against the light asked for, {recipe}"),
            "The worst channel at each light. The unbroken line should stay below the limit; how far the dashes \
             lie above it is what giving back the light of edges is worth. Dots are counted from the streams at the test lights; what is \
             less than the axis shows stands at its low end.",
        )
    });
    let figures: Vec<_> = figures.collect();
    html! {
        @if !figures.is_empty() {
            section #light-errors { h2 { "What edges take" } (grid(&figures)) }
        }
    }
}

fn supply(checked: &Checked) -> Markup {
    html! {
        section #supply {
            h2 { "Current drawn from the supply" }
            p {
                strong { "Information, never judged. " }
                "Lines from 20 Hz to 20 kHz are what coils and capacitors of a supply may sing. Thin stems: the channels' phases as "
                "the firmware spreads them. Thick grey ones: as if all channels pulsed on the same tick. A grey stem that "
                "stands higher is what spreading is worth. Figures are over the current of all at full; channels count by their power, or the same where one says none."
            }
            (recipes(checked, |lights| html! { div.three { (grid(&lines(lights))) } }))
        }
    }
}

fn lines(lights: &[&Driving]) -> Vec<Figure> {
    let figure = |driving: &&Driving| {
        Figure::new(
            plots::supply_lines(driving),
            &format!("Supply current at {} of full light", percent(driving.light)),
            &caption(driving),
        )
    };
    lights.iter().map(figure).collect()
}

fn caption(driving: &Driving) -> String {
    let none = "No line reaches a thousandth of the mean.".to_owned();
    let line = driving.spread.strongest_line();
    let line = line.map_or(none, |(hertz, amplitude)| {
        format!(
            "The strongest line has {} of the mean, at {}.",
            percent(amplitude),
            quantity(hertz, "Hz")
        )
    });
    format!(
        "{line} Peak {} of all channels at full; {} if they pulsed together.",
        percent(driving.spread.peak),
        percent(driving.together.peak)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn what_says_nothing_is_left_out() {
        let mut checked = fixture::checked();
        let page = |checked: &Checked| sections(checked).into_string();
        for section in ["operating-rows", "light-errors", "supply"] {
            assert!(
                page(&checked).contains(&format!("id=\"{section}\"")),
                "{section}"
            );
        }
        assert!(
            !page(&checked).contains("bars are the stream"),
            "all are ideal"
        );
        checked.observed.tables[0].rows.truncate(1);
        checked.observed.light_errors.clear();
        assert!(!page(&checked).contains("operating-rows"));
        assert!(!page(&checked).contains("light-errors"));
    }
}
