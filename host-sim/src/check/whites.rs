//! How far fades between whites stray from the Planckian locus.

use super::asked_fade::{AskedFade, between};
use super::colour::channels;
use crate::colour::{N_STEP, White, Xy};
use crate::description::Description;
use crate::metrics::chromaticity;
use crate::run::{Course, Leg, WhiteFade};

/// Places looked at along a fade.
const PLACES: u32 = 256;

/// The fades of the first round that begin and end at whites, more than a tenth of an n-step apart; one that is cut short ends there. A
/// place for every control step is no fade.
pub(super) fn white_fades(description: &Description, course: &Course) -> Vec<WhiteFade> {
    let Course::Fades(legs) = course else {
        return Vec::new();
    };
    let channels = channels(description);
    let mut asked = AskedFade::new(description);
    let (mut found, mut begin) = (Vec::new(), 0);
    for leg in legs.iter().filter(|leg| leg.round == 0) {
        let way = (f64::from(leg.steps) / f64::from(leg.of)).min(1.0);
        asked.set_out(leg.fade, leg.from);
        if !leg.is_jump {
            let begin_s = f64::from(begin) / f64::from(description.control_hz);
            found.extend(white_fade(&asked, &channels, leg, way, begin_s));
        }
        asked.end(leg.fade, way);
        begin += leg.steps;
    }
    found
}

fn white_fade(
    asked: &AskedFade,
    channels: &[(Xy, f64)],
    leg: &Leg,
    ran: f64,
    begin_s: f64,
) -> Option<WhiteFade> {
    let white = |shares: &[f64]| White::of(chromaticity(channels, shares)?.to_xy());
    let along = |part: f64| asked.shares_at(leg.fade, ran * part);
    let (begin, end) = (along(0.0), along(1.0));
    let (first, last) = (
        chromaticity(channels, &begin)?,
        chromaticity(channels, &end)?,
    );
    if first.distance(last) < 0.1 * N_STEP {
        return None;
    }
    let (recipe, through) = asked.goes_to(leg.fade);
    Some(WhiteFade {
        fade: leg.fade,
        begin_s,
        recipe: recipe.to_owned(),
        through,
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
