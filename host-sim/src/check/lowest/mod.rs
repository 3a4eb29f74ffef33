//! The lowest light that a luminaire may have: from it on no requirement is broken at steady light.

mod search;

use milliglow::Level;

use super::rules::lowest_light_rule;
use super::words::place;
use crate::description::Description;
use crate::numbers::{percent, significant};
use crate::run::{Bands, MetricMap};
use crate::verdict::Verdict;
use search::{Found, Search};

/// The highest light that a file may declare as its lowest.
const HIGHEST: f64 = 0.1;

pub(super) fn judge(description: &Description, maps: &[MetricMap], bands: &[Bands]) -> Verdict {
    let search = Search::new(description);
    let known = search.known(maps, bands);
    let own = match description.operating.lowest_light {
        0.0 => description.requirements.lowest_light,
        lowest => lowest,
    };
    let Some(found) = search.lowest(known) else {
        let rule = lowest_light_rule(1.0);
        return rule.judge("full light", own, "full light itself breaks a limit");
    };
    let light = search.light(found.keeps);
    let cause = search.broken(found.breaks);
    let recipe = cause.map_or(0, |(recipe, _)| recipe);
    let mut reason = reason(description, &found, light, cause);
    if let Some(offer) = offer(light).filter(|_| own >= light) {
        reason += &format!("; {offer} is open to you");
    }
    let verdict = lowest_light_rule(light).judge(place(description, recipe, light), own, reason);
    verdict.mended_by(|| Some(remedy(light)))
}

fn reason(
    description: &Description,
    found: &Found,
    light: f64,
    cause: Option<(usize, &str)>,
) -> String {
    let cause = match cause {
        Some((recipe, limit)) => {
            format!(
                "below it {} breaks: {limit}",
                description.recipes[recipe].name
            )
        }
        None if found.breaks == Level::OFF => "the lowest there is".to_owned(),
        None => "below it a camera shows bands".to_owned(),
    };
    format!("from {} on no limit is broken; {cause}", percent(light))
}

fn remedy(light: f64) -> String {
    match offer(light) {
        Some(offer) => {
            format!("set {offer} or more, and lowest_light_percent of [requirements] likewise")
        }
        None => "no lowest_light_percent would do: mend the other failures first".to_owned(),
    }
}

/// The key with the light rounded up, where the file may say it.
fn offer(light: f64) -> Option<String> {
    let unit = 10f64.powf((100.0 * light).log10().floor() - 2.0);
    let rounded = (100.0 * light / unit).ceil() * unit;
    (light <= HIGHEST).then(|| {
        format!(
            "lowest_light_percent = {} in [operating]",
            significant(rounded, 3)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::{judge, offer};
    use crate::check::flicker::{bands, metric_maps};
    use crate::check::one_channel::one_channel;
    use crate::description::{Camera, Description};
    use crate::verdict::{Outcome, Verdict};

    fn judged(description: &Description) -> Verdict {
        judge(description, &metric_maps(description), &bands(description))
    }

    /// A single stream of full depth keeps "no effect" from 3 kHz pulses on: at 5 MHz from 0.06 % on.
    #[test]
    fn a_single_channel_is_limited_by_its_pulse_rate_at_3_khz() {
        let verdict = judged(&one_channel());
        assert!((verdict.limit / 6.0e-4 - 1.0).abs() < 2e-3, "{verdict:?}");
        assert_eq!(verdict.outcome, Outcome::Pass);
        assert!(
            verdict
                .reason
                .contains("below it evening breaks: no effect"),
            "{verdict:?}"
        );
        assert!(
            verdict.reason.contains("lowest_light_percent = 0.06"),
            "{verdict:?}"
        );
    }

    /// Without limits on lines the pulse rate itself is what counts: 90 Hz.
    #[test]
    fn where_lines_are_let_go_the_pulse_rate_limits() {
        let mut loose = one_channel();
        let asked = &mut loose.requirements;
        (asked.svm, asked.no_effect_margin, asked.pst_lm) = (100.0, 1_000.0, 100.0);
        (asked.seizure, asked.visibility, asked.pulse_hz) = (100.0, 1_000.0, 2_000.0);
        // Low risk has no key: its limit ends at 1250 Hz.
        let verdict = judged(&loose);
        assert!((verdict.limit / 4.0e-4 - 1.0).abs() < 2e-3, "{verdict:?}");
        assert!(verdict.reason.contains("pulse rate"), "{verdict:?}");
    }

    #[test]
    fn a_file_that_goes_lower_fails_and_is_told_how_low_it_may_go() {
        let mut deep = one_channel();
        deep.operating.lowest_light = 1e-4;
        let verdict = judged(&deep);
        assert_eq!(
            (verdict.outcome, verdict.value),
            (Outcome::Fail, Some(1e-4))
        );
        assert!((verdict.limit / 6.0e-4 - 1.0).abs() < 2e-3, "{verdict:?}");
        let remedy = verdict.remedy.unwrap();
        assert!(
            remedy.contains("set lowest_light_percent = 0.06"),
            "{remedy}"
        );
    }

    /// A camera that shows bands at its light lifts the lowest light above it.
    #[test]
    fn a_camera_lifts_the_lowest_light() {
        let mut seen = one_channel();
        seen.cameras.push(Camera {
            name: "phone".to_owned(),
            frame_hz: 30.0,
            rows: 1_080,
            line_s: 25e-6,
            exposure_s: 0.008_333,
            lights: vec![0.02],
            contrast: 1e-6,
        });
        let verdict = judged(&seen);
        assert!(verdict.limit > 0.02 && verdict.limit < 0.021, "{verdict:?}");
        assert!(verdict.reason.ends_with("below it a camera shows bands"));
    }

    #[test]
    fn what_is_offered_is_rounded_up() {
        let offered = offer(0.000_600_06).unwrap();
        assert!(
            offered.starts_with("lowest_light_percent = 0.0601 in"),
            "{offered}"
        );
        assert_eq!(offer(0.2), None);
    }

    /// Half the share takes twice the light, whichever recipe has it.
    #[test]
    fn the_recipe_that_breaks_first_counts() {
        let mut two = one_channel();
        two.recipes.push(two.recipes[0].clone());
        two.recipes[1].name = "half".to_owned();
        two.recipes[1].shares = vec![0.5];
        let verdict = judged(&two);
        assert!((verdict.limit / 12.0e-4 - 1.0).abs() < 2e-3, "{verdict:?}");
        assert!(
            verdict.reason.contains("below it half breaks: no effect"),
            "{verdict:?}"
        );
    }
}
