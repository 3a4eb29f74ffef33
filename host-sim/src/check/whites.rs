//! How far fades between whites stray from the Planckian locus.

use super::asked_fade::AskedFade;
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
    let at = |place: u32| {
        let shares = asked.shares_at(fade, f64::from(place) / f64::from(PLACES));
        chromaticity(channels, &shares)
    };
    let (begin, end) = (at(0)?, at(PLACES)?);
    if begin.distance(end) < 0.1 * N_STEP {
        return None;
    }
    let way: Option<Vec<White>> = (0..=PLACES)
        .map(|place| White::of(at(place)?.to_xy()))
        .collect();
    let farthest = |way: Vec<White>| {
        way.into_iter()
            .max_by(|one, other| one.duv.abs().total_cmp(&other.duv.abs()))
    };
    Some(WhiteFade {
        fade,
        from: White::of(begin.to_xy())?,
        to: White::of(end.to_xy())?,
        worst: way.and_then(farthest),
    })
}
