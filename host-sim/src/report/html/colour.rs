//! The colour pages: where the colours are, how they hold while dimming, and what fades between whites pass through.

use maud::{Markup, html};

use super::figures::{Figure, grid};
use crate::colour::{N_STEP, White};
use crate::numbers::{percent, significant};
use crate::report::Checked;
use crate::report::plots;
use crate::run::{Dimming, WhiteFade};

pub(super) fn section(checked: &Checked, locus: &[(f64, f64)]) -> Markup {
    html! {
        section #colour {
            h2 { "Colour" }
            (grid(&figures(checked, locus)))
            h3 { "Colour while dimming" }
            p {
                "In n-steps of " (N_STEP) " in u′v′, from the colour at full light, or where a recipe follows the Level "
                "from the colour that it asks for there. By densities: the arithmetic and the edges of the drivers. "
                "By streams: the light that the streams gave as they ran, which comes in whole pulses."
            }
            (dimming(checked))
            @if !checked.observed.white_fades.is_empty() {
                h3 { "Fades between whites" }
                p {
                    "Straight in channel light, the colour goes straight as well, but the Planckian locus is bent. A fade " code { "through" }
                    " recipes in between keeps near it: " code { "milliglow solve --fade 2700..6500 --toml" } " writes one. Shown is the white on "
                    "the way that is farthest from the locus, on a straight way and as the fade goes."
                }
                (grid(&[fade_figure(checked)]))
                (white_fades(checked))
            }
        }
    }
}

fn figures(checked: &Checked, locus: &[(f64, f64)]) -> Vec<Figure> {
    let shift = Figure::new(
        plots::colour_shift(checked),
        "Shift of colour against light",
        "The worst of every lit Level, come upon from below and from above, by the densities; less than 1e-8 stands at the low end. \
         A line climbs towards the dark, where the smallest share is few units of 2^-32.",
    );
    let follows = |dimming: &Dimming| plots::follows(checked, dimming);
    let mut figures = vec![diagram(checked, locus), shift];
    if checked.observed.dimming.iter().any(follows) {
        figures.push(Figure::new(
            plots::warming(checked),
            "CCT against light",
            "Of recipes that follow the Level: straight between knots in channel light, not in CCT.",
        ));
    }
    figures
}

fn fade_figure(checked: &Checked) -> Figure {
    Figure::new(
        plots::white_fades(checked),
        "Duv through fades between whites",
        "Distance from the Planckian locus in CIE 1960 u, v, above it positive. Dashes show the same fade without its recipes in between.",
    )
}

fn diagram(checked: &Checked, locus: &[(f64, f64)]) -> Figure {
    let path = if checked.observed.script.is_empty() {
        ""
    } else {
        " The blue line is the colour through the script: it should move between recipes only, \
         and stand still while a recipe dims that does not follow the Level."
    };
    let caption = format!(
        "CIE 1976 u′, v′. Dots are channels, rings are recipes at full light, black lines the gamut, dashes the Planckian locus, \
         broad grey a recipe over its Levels, thin grey the locus of spectral light; a name is left out where there is no room.{path}"
    );
    let svg = plots::colour_path(checked, locus);
    Figure::new(svg, "Colour of channels and recipes", &caption)
}

fn dimming(checked: &Checked) -> Markup {
    html! {
        div.scroll {
            table.flicker {
                thead {
                    tr {
                        th scope="col" { "Recipe" }
                        th scope="col" { "Light" }
                        th.number scope="col" { "n-steps by densities" }
                        th.number scope="col" { "n-steps by streams" }
                        th scope="col" { "One n-step is passed at" }
                    }
                }
                tbody { @for dimming in &checked.observed.dimming { (rows(checked, dimming)) } }
            }
        }
    }
}

fn rows(checked: &Checked, dimming: &Dimming) -> Markup {
    let steps = |shift: f64| significant(shift / N_STEP, 3);
    let passes = match dimming.passes_n_step {
        Some(light) => format!("{} light", percent(light)),
        None => "no lit Level".to_owned(),
    };
    html! {
        @for (k, held) in dimming.held.iter().enumerate() {
            tr {
                th scope="row" { @if k == 0 { (checked.description.recipes[dimming.recipe].name) } }
                td { (percent(held.light)) }
                td.number { (steps(held.by_densities)) }
                td.number { (held.by_streams.map_or_else(|| "dark".to_owned(), steps)) }
                td { @if k == 0 { (passes) } }
            }
        }
    }
}

fn white_fades(checked: &Checked) -> Markup {
    html! {
        div.scroll {
            table.flicker {
                thead {
                    tr {
                        th scope="col" { "Fade" }
                        th scope="col" { "From" }
                        th scope="col" { "To" }
                        th scope="col" { "Farthest from the locus, straight" }
                        th scope="col" { "as it goes" }
                    }
                }
                tbody {
                    @for fade in &checked.observed.white_fades {
                        tr {
                            th scope="row" { (plots::white_fade_name(checked, fade)) }
                            td { (white(fade.from)) }
                            td { (white(fade.to)) }
                            td { (far(&fade.straight)) }
                            td { (as_it_goes(fade)) }
                        }
                    }
                }
            }
        }
    }
}

fn far(way: &[White]) -> String {
    WhiteFade::farthest(way).map_or("some of it is no white".to_owned(), white)
}

fn as_it_goes(fade: &WhiteFade) -> String {
    match fade.through {
        0 if fade.along == fade.straight => "straight".to_owned(),
        0 => format!("{}, along knots", far(&fade.along)),
        through => format!("{}, through {through} recipes", far(&fade.along)),
    }
}

fn white(white: White) -> String {
    format!("{} K, Duv {:+.4}", significant(white.cct_k, 4), white.duv)
}

#[cfg(test)]
mod tests {
    use crate::numbers::percent;
    use crate::report::fixture;

    #[test]
    fn the_tables_hold_what_was_found() {
        let page = super::section(&fixture::checked(), &fixture::locus()).into_string();
        let passes = format!("{} light", percent(9e-6));
        for text in [
            &*passes,
            "3900 K, Duv +0.0081",
            "6500 K, Duv +0.0030, along knots",
            "2: stars",
            "by streams",
        ] {
            assert!(page.contains(text), "{text}");
        }
    }
}
