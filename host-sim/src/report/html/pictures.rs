//! Pictures: what cameras show of an evenly lit wall, and what moving eyes make of the light.

use data_encoding::BASE64;
use maud::{Markup, html};

use crate::description::Camera;
use crate::numbers::{percent, quantity};
use crate::report::Checked;
use crate::run::{Bands, Sight};

pub(super) fn cameras(checked: &Checked) -> Markup {
    let cameras = checked.description.cameras.iter().enumerate();
    html! {
        @if !checked.observed.bands.is_empty() {
            section #cameras {
                h2 { "Cameras" }
                p {
                    "An evenly lit wall as a rolling shutter shows it: each row sums the light of its own exposure, so "
                    "pulses that are few in an exposure draw bands. The contrast judged is the worst over "
                    "exposures 5 % shorter to 5 % longer and over all phases; the picture is one frame at that exposure."
                }
                @for (i, camera) in cameras { (of_camera(checked, i, camera)) }
            }
        }
    }
}

/// The recipe with the most contrast at each light; the others on demand.
fn of_camera(checked: &Checked, index: usize, camera: &Camera) -> Markup {
    let all = checked.observed.bands.iter();
    let all: Vec<_> = all.filter(|bands| bands.camera == index).collect();
    let (worst, others): (Vec<_>, Vec<_>) = all.iter().partition(|bands| is_worst(bands, &all));
    let picture = |bands: &&Bands| wall(checked, camera, bands);
    html! {
        h3 { (camera.name) }
        p {
            (quantity(camera.frame_hz, "Hz")) " frames of " (camera.rows) " rows, "
            (quantity(camera.line_s, "s")) " apart, exposed " (quantity(camera.exposure_s, "s")) "."
        }
        div.pictures { @for bands in worst { (picture(bands)) } }
        @if !others.is_empty() {
            details {
                summary { "Recipes with less contrast" }
                div.pictures { @for bands in others { (picture(bands)) } }
            }
        }
    }
}

/// Whether no recipe has more contrast at this light; the first of equals.
fn is_worst(bands: &Bands, all: &[&Bands]) -> bool {
    let beside = all.iter().filter(|other| other.light == bands.light);
    let mut beaten = beside.filter(|other| {
        other.contrast > bands.contrast
            || other.contrast == bands.contrast && other.recipe < bands.recipe
    });
    beaten.next().is_none()
}

fn wall(checked: &Checked, camera: &Camera, bands: &Bands) -> Markup {
    let kept = bands.contrast <= camera.contrast;
    let recipe = &checked.description.recipes[bands.recipe].name;
    let title = format!("{recipe}, {}", percent(bands.light));
    pictured(
        &bands.picture,
        &title,
        &html! {
            "Contrast " (percent(bands.contrast)) ", limit " (percent(camera.contrast)) ": "
            span.fail[!kept] { @if kept { "pass" } @else { "fail" } } ". "
            "Frames differ by " (percent(rounded(bands.frame_flicker))) "."
                br; small { (bands.caption) }
        },
    )
}

/// To a millionth: frames that differ by less differ by rounding.
fn rounded(fraction: f64) -> f64 {
    (fraction * 1e6).round() / 1e6
}

pub(super) fn sights(checked: &Checked) -> Markup {
    let sights = &checked.observed.sights;
    html! {
        @if !sights.is_empty() {
            section #sights {
                h2 { "What moving eyes make of it" }
                p {
                    strong { "Information, never judged. " }
                    "Pulses that an eye at rest does not see part when something bright moves, or the eye does. A smooth "
                    "streak is what to hope for; dots or stripes show pulses, and colours side by side show channels "
                    "that pulse apart."
                }
                div.pictures.wide { @for at in sights { (sight(checked, at)) } }
            }
        }
    }
}

fn sight(checked: &Checked, sight: &Sight) -> Markup {
    let recipe = &checked.description.recipes[sight.recipe].name;
    let title = format!("{recipe}, {}", percent(sight.light));
    pictured(&sight.picture, &title, &html! { (sight.caption) })
}

/// A picture inside the page.
fn pictured(png: &[u8], title: &str, caption: &Markup) -> Markup {
    let data = format!("data:image/png;base64,{}", BASE64.encode(png));
    html! {
        figure {
            img src=(data) alt=(title);
            figcaption { strong { (title) ". " } (caption) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn the_worst_recipe_of_each_light_stands_before_the_others() {
        let page = cameras(&fixture::checked()).into_string();
        let (open, folded) = page.split_once("<details>").unwrap();
        assert!(open.contains("stars, 1 %") && open.contains("stars, 10 %"));
        assert!(!open.contains("evening, ") && folded.contains("evening, 1 %"));
        assert_eq!(page.matches("<img").count(), 4);
    }

    #[test]
    fn of_equal_recipes_one_is_the_worst() {
        let mut bands = fixture::checked().observed.bands;
        bands.iter_mut().for_each(|bands| bands.contrast = 0.01);
        let all: Vec<_> = bands.iter().collect();
        let worst = all.iter().filter(|bands| is_worst(bands, &all)).count();
        assert_eq!(worst, 2);
    }

    #[test]
    fn contrast_beyond_the_limit_fails_in_the_caption() {
        let mut checked = fixture::checked();
        let failed = |checked: &Checked| {
            let page = cameras(checked).into_string();
            page.matches("<span class=\"fail\">fail</span>").count()
        };
        assert_eq!(failed(&checked), 0);
        checked.observed.bands[3].contrast = 0.021;
        assert_eq!(failed(&checked), 1);
    }

    #[test]
    fn a_picture_is_inside_the_page() {
        let checked = fixture::checked();
        let page = sights(&checked).into_string();
        let data = page.split("base64,").nth(1).unwrap();
        let data = data.split('"').next().unwrap();
        let decoded = BASE64.decode(data.as_bytes()).unwrap();
        assert_eq!(decoded, checked.observed.sights[0].picture);
    }
}
