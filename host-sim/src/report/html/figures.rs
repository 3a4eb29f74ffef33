//! The plots with their captions, in sections.

use maud::{Markup, PreEscaped, html};

use super::{bucks, bus, chip, colour, drivers, flicker, pictures, warm};
use crate::numbers::percent;
use crate::report::Checked;
use crate::report::plots::{self, Scale};
use crate::run::{Hold, PulseRates};

pub(super) fn sections(checked: &Checked, locus: &[(f64, f64)]) -> Markup {
    html! {
        (section("curve", "Dimming curve", &curves(checked)))
        @if !checked.observed.script.is_empty() {
            (section("script", "Light through the script", &script(checked)))
            (section("densities", "Channels through the script", &densities(checked)))
        }
        @if let Some(seen) = &checked.observed.bus { (bus::section(checked, seen)) }
        (streams(checked))
        (section("pulse-rates", "Pulse rate", &pulse_rates(checked)))
        (drivers::sections(checked))
        (bucks::sections(checked))
        (flicker::test_lights(checked))
        (flicker::over_the_range(checked))
        (pictures::cameras(checked))
        (pictures::sights(checked))
        (colour::section(checked, locus))
        (warm::section(checked))
        (chip::section(checked))
    }
}

/// A drawing, what it is in a few words, and what to see in it.
pub(in crate::report) struct Figure {
    svg: String,
    title: String,
    caption: String,
}

impl Figure {
    pub(in crate::report) fn new(svg: String, title: &str, caption: &str) -> Self {
        Self {
            svg,
            title: title.to_owned(),
            caption: caption.to_owned(),
        }
    }
}

pub(in crate::report) fn section(id: &str, title: &str, figures: &[Figure]) -> Markup {
    html! { section id=(id) { h2 { (title) } (grid(figures)) } }
}

pub(super) fn grid(figures: &[Figure]) -> Markup {
    html! {
        div.figures {
            @for figure in figures {
                figure {
                    div role="img" aria-label=(figure.title) { (PreEscaped(&figure.svg)) }
                    figcaption { strong { (figure.title) ". " } (figure.caption) }
                }
            }
        }
    }
}

fn curves(checked: &Checked) -> [Figure; 2] {
    let curve = |scale| plots::curve(&checked.observed.curve, scale);
    [
        Figure::new(
            curve(Scale::Linear),
            "Light against Level, linear axis",
            "What a light meter sees. The flatter the low end, the more Levels are spent on little light.",
        ),
        Figure::new(
            curve(Scale::Log),
            "Light against Level, log axis",
            "A straight line is an exponential curve: equal Levels, equal ratios of light. Off, and \
             what is darker than the axis, stands at its low end.",
        ),
    ]
}

fn script(checked: &Checked) -> [Figure; 2] {
    let light = |scale| plots::script_light(checked, scale);
    [
        Figure::new(
            light(Scale::Linear),
            "Flux through the script, linear axis",
            "Dots are counted from the streams, one control step each; they should lie on the line. \
             Upright dashes show where a fade begins; the \
             recipe that it goes to stands above where there is room.",
        ),
        Figure::new(
            light(Scale::Log),
            "Flux through the script, log axis",
            "Near the bottom one control step holds few pulses or none, so dots scatter in whole \
             pulses around the line, and steps without a pulse stand at the low end. Averages are \
             judged in the table.",
        ),
    ]
}

fn densities(checked: &Checked) -> [Figure; 2] {
    let densities = |scale| plots::densities(checked, scale);
    [
        Figure::new(
            densities(Scale::Linear),
            "Density of each channel, linear axis",
            "All channels begin and arrive together at the upright dashes.",
        ),
        Figure::new(
            densities(Scale::Log),
            "Density of each channel, log axis",
            "Lines that stay parallel hold the colour; lines that approach or cross change it.",
        ),
    ]
}

/// One block of timelines a recipe; the first is open.
fn streams(checked: &Checked) -> Markup {
    let recipes = checked.description.recipes.iter().enumerate();
    html! {
        section #streams {
            h2 { "Streams at the test lights" }
            p {
                "Bars are ones: the driver is on. Each timeline shows about eight pulse periods of the "
                "busiest channel, so the time axes differ; evenly spaced bars are what keeps flicker fast. A bar "
                "is never thinner than a hairline, so a short pulse looks wider than it is."
            }
            @for (i, recipe) in recipes {
                details open[i == 0] {
                    summary { "Recipe " (recipe.name) }
                    (grid(&timelines(checked, i)))
                }
            }
        }
    }
}

fn timelines(checked: &Checked, recipe: usize) -> Vec<Figure> {
    let holds = checked
        .observed
        .holds
        .iter()
        .filter(|hold| hold.recipe == recipe);
    holds.map(|hold| timeline(checked, hold)).collect()
}

fn timeline(checked: &Checked, hold: &Hold) -> Figure {
    let title = format!("{} of full light", percent(hold.light));
    let caption = format!(
        "Level {}; the first {} ticks.",
        hold.level,
        plots::window_ticks(hold)
    );
    Figure::new(plots::stream(&checked.description, hold), &title, &caption)
}

fn pulse_rates(checked: &Checked) -> Vec<Figure> {
    checked
        .observed
        .pulse_rates
        .iter()
        .map(|rates| rate_figure(checked, rates))
        .collect()
}

fn rate_figure(checked: &Checked, rates: &PulseRates) -> Figure {
    let title = format!(
        "Pulse rate against light, {}",
        checked.description.recipes[rates.recipe].name
    );
    let caption = "Every lit channel should stay above the level dashes wherever it is right of the \
                   upright ones, the lowest light asked for. Above half density a channel's gaps make \
                   its pulses, so its rate falls again towards full.";
    Figure::new(plots::pulse_rates(checked, rates), &title, caption)
}
