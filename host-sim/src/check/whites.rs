//! How far fades between whites stray from the Planckian locus.

use super::asked_fade::{AskedFade, between};
use super::colour::channels;
use crate::colour::{N_STEP, White, Xy};
use crate::description::Description;
use crate::metrics::chromaticity;
use crate::run::WhiteFade;

/// Places looked at along a fade.
const PLACES: u32 = 256;

/// The fades of the script that begin and arrive at whites, more than a tenth of an n-step apart.
pub(super) fn white_fades(description: &Description) -> Vec<WhiteFade> {
    let channels = channels(description);
    let mut asked = AskedFade::new(description);
    let mut found = Vec::new();
    for fade in 0..description.script.len() {
        found.extend(white_fade(&asked, &channels, fade));
        asked.arrive(fade);
    }
    found
}

fn white_fade(asked: &AskedFade, channels: &[(Xy, f64)], fade: usize) -> Option<WhiteFade> {
    let white = |shares: &[f64]| White::of(chromaticity(channels, shares)?.to_xy());
    let along = |part: f64| asked.shares_at(fade, part);
    let (begin, end) = (along(0.0), along(1.0));
    let (first, last) = (
        chromaticity(channels, &begin)?,
        chromaticity(channels, &end)?,
    );
    if first.distance(last) < 0.1 * N_STEP {
        return None;
    }
    Some(WhiteFade {
        fade,
        from: White::of(first.to_xy())?,
        to: White::of(last.to_xy())?,
        straight: way(|part| white(&between(&begin, &end, part))),
        along: way(|part| white(&along(part))),
    })
}

/// Whites from the begin to the end, unless some of the way is none.
fn way(white: impl Fn(f64) -> Option<White>) -> Vec<White> {
    let places = 0..=PLACES;
    let all: Option<Vec<White>> = places
        .map(|place| white(f64::from(place) / f64::from(PLACES)))
        .collect();
    all.unwrap_or_default()
}
