//! Flicker: its figures and plots at the test lights, and against light.

use maud::{Markup, html};

use super::figures::{Figure, grid};
use super::flicker_table::{model, table};
use crate::metrics::flicker::pst_lm::Severity;
use crate::metrics::flicker::temporal_visibility::Model;
use crate::metrics::flicker::{Line, Samples};
use crate::numbers::{percent, quantity, significant};
use crate::report::Checked;
use crate::report::bands::BANDS;
use crate::report::plots::{self, AgainstLight};
use crate::run::Flicker;

/// Periods of the strongest line that a waveform shows, and the least number of its samples.
const PERIODS: f64 = 8.0;
const LEAST_SAMPLES: usize = 80;

/// One block a recipe; the first is open.
pub(super) fn test_lights(checked: &Checked) -> Markup {
    let recipes = checked.description.recipes.iter().enumerate();
    html! {
        section #flicker {
            h2 { "Flicker at the test lights" }
            p {
                "What eye and brain get. A marked figure is beyond its limit in the luminaire's requirements. SVM, "
                "the IEEE 1789 margins, modulation below 90 Hz and visibility are the worst of the tick rate's "
                "tolerance; a margin of 1 is the limit, a visibility of 1 just seen. Lines are 1 Hz wide; that each is held against "
                "the curve of IEEE 1789-2015 by itself is our reading, since the practice names no rule for many lines."
            }
            @for (i, recipe) in recipes {
                details open[i == 0] {
                    summary { "Recipe " (recipe.name) }
                    (of_recipe(checked, i))
                }
            }
            (footing(checked))
        }
    }
}

fn of_recipe(checked: &Checked, recipe: usize) -> Markup {
    let all = checked.observed.flicker.iter();
    let lights: Vec<_> = all.filter(|at| at.recipe == recipe).collect();
    html! {
        (table(checked, &lights))
        @for at in lights {
            h3 { (percent(at.light)) " of full light" }
            div.three { (grid(&figures(at))) }
        }
    }
}

fn figures(at: &Flicker) -> [Figure; 4] {
    let spectrum = match at.no_effect {
        Some(worst) => format!(
            "Lines against IEEE 1789-2015. Nearest to no effect: {} times its limit at {}.",
            significant(worst.margin, 3),
            quantity(worst.frequency_hz, "Hz")
        ),
        None => "Lines against IEEE 1789-2015. No line has a limit.".to_owned(),
    };
    let severity = severity(at);
    let pinst = format!(
        "Momentary flicker over {}; the meter settles before. PstLM {}.",
        quantity(at.pst_lm_s, "s"),
        significant(at.pst_lm, 3)
    );
    [
        Figure::new(
            plots::waveform_over(zoomed(at), 1.0),
            "Waveform",
            "Light limited to 20 kHz, what a fast photodiode would show.",
        ),
        Figure::new(plots::spectrum(&lines(&at.lines)), "Spectrum", &spectrum),
        Figure::new(plots::pinst(&severity), "Pinst", &pinst),
        Figure::new(
            plots::chromatic(&lines(&at.chromatic)),
            "Chromatic flicker",
            "How far the colour swings at each frequency, from 1e-6 on. One n-step is a ruler for colours side by side, no limit: the eye \
             follows changes of colour up to some 25 Hz only (common practice).",
        ),
    ]
}

fn lines(pairs: &[(f64, f64)]) -> Vec<Line> {
    let line = |&(frequency_hz, amplitude): &(f64, f64)| Line {
        frequency_hz,
        amplitude,
    };
    pairs.iter().map(line).collect()
}

/// Some periods of the strongest line, as far as the samples go.
fn zoomed(at: &Flicker) -> Samples<'_> {
    let wanted = at.dominant_hz.map_or(usize::MAX, |hertz| {
        (PERIODS * at.waveform_hz / hertz).ceil() as usize
    });
    let count = wanted.max(LEAST_SAMPLES).min(at.waveform.len());
    Samples {
        rate_hz: at.waveform_hz,
        values: &at.waveform[..count],
    }
}

fn severity(at: &Flicker) -> Severity {
    Severity {
        pst_lm: at.pst_lm,
        pinst_max: at.pinst_max,
        judged_seconds: at.pst_lm_s,
        interval_s: at.pinst_interval_s,
        pinst: at.pinst.clone(),
    }
}

/// What the figures rest on: misfits of the models, bands of all.
fn footing(checked: &Checked) -> Markup {
    html! {
        h3 { "What these figures rest on" }
        dl {
            @for model in models(checked) { (entry(model.name(), &misfit(&model))) }
            (entry(
                "bound S = 500",
                "a sensitivity that no open measurement passes, from 2 to 30 Hz; at or below 1 no model sees these lines",
            ))
            (entry(
                "more than 100 %",
                "a filter with steep edges rings, and light that was filtered swings below zero where short pulses \
                 stand far apart; percent flicker and flicker index are then beyond the 100 % and 1 of real light",
            ))
            (entry("phantom array", "information only: no method is standardised, so nothing passes or fails by it"))
        }
        details {
            summary { "Bands and resolutions" }
            dl { @for (_, name, band) in BANDS { (entry(name, band)) } }
        }
    }
}

fn entry(term: &str, words: &str) -> Markup {
    html! { div { dt { (term) } dd { (words) } } }
}

/// Each model that is used at a test light, once.
fn models(checked: &Checked) -> Vec<Model> {
    let mut models: Vec<Model> = Vec::new();
    for at in &checked.observed.flicker {
        let used = model(checked, at);
        if models.iter().all(|known| known.name() != used.name()) {
            models.push(used);
        }
    }
    models
}

fn misfit(model: &Model) -> String {
    let misfit = model.misfit();
    let range = |(least, most): (f64, f64)| {
        format!("{} to {}", significant(least, 3), significant(most, 3))
    };
    format!(
        "misses measured sensitivities by {} (de Lange 1958, 2 degrees) and {} (Kelly 1961, 50 to 68 degrees), \
         RMS of log10(model / measured)",
        range(misfit.small_field),
        range(misfit.large_field)
    )
}

pub(super) fn over_the_range(checked: &Checked) -> Markup {
    let asked = &checked.description.requirements;
    let drawn = [
        (
            AgainstLight {
                title: "SVM",
                unit: "",
                limit: asked.svm,
                of: |row| row.svm,
            },
            "Stroboscopic effect: seen on what moves. Lines above 2 kHz do not count, so the figure drops \
             where the slowest strong line passes 2 kHz.",
        ),
        (
            AgainstLight {
                title: "IEEE 1789 no-effect margin",
                unit: "",
                limit: asked.no_effect_margin,
                of: |row| row.no_effect,
            },
            "The worst line over its limit. Lines above 3 kHz have none.",
        ),
        (
            AgainstLight {
                title: "Modulation below 90 Hz",
                unit: "1",
                limit: asked.seizure,
                of: |row| row.below_90_hz,
            },
            "What the lines below 90 Hz can add up to at most: the seizure rule.",
        ),
        (
            AgainstLight {
                title: "Temporal visibility",
                unit: "",
                limit: asked.visibility,
                of: |row| row.visibility,
            },
            "For an eye at rest, 1 being just seen, at the luminance that the file declares.",
        ),
    ];
    let figures = drawn.map(|(drawn, caption)| {
        let title = format!("{} against light", drawn.title);
        Figure::new(plots::against_light(checked, &drawn), &title, caption)
    });
    html! {
        section #flicker-range {
            h2 { "Flicker against light" }
            p {
                "Where in the range trouble hides: each figure at lights from the lowest asked for to full, the worst of the tick rate's "
                "tolerance, searched closer round the worst light. What is less than the axis shows stands at its low end."
            }
            (grid(&figures))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn a_waveform_shows_some_periods_of_the_strongest_line() {
        let mut at = fixture::checked().observed.flicker[3].clone();
        at.dominant_hz = Some(4000.0);
        assert_eq!(zoomed(&at).values.len(), 160);
        at.dominant_hz = Some(3.0);
        assert_eq!(zoomed(&at).values.len(), at.waveform.len());
        at.dominant_hz = Some(20_000.0);
        assert_eq!(zoomed(&at).values.len(), LEAST_SAMPLES);
    }

    #[test]
    fn every_model_used_stands_with_its_misfit_once() {
        let page = test_lights(&fixture::checked()).into_string();
        let told = page.matches("misses measured sensitivities").count();
        assert_eq!(told, 2);
        assert!(page.contains("0.093 to 0.294"));
    }

    #[test]
    fn only_the_first_recipe_is_open() {
        let page = test_lights(&fixture::checked()).into_string();
        assert!(page.contains("<details open><summary>Recipe evening"));
        assert!(page.contains("<details><summary>Recipe stars"));
        assert_eq!(page.matches("<svg").count(), 40);
    }
}
