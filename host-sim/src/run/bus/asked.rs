//! What a console's packets ask for, with the staircase of their slots taken out; and what of the light may be compared with it.
//!
//! A console that fades rounds to slots, and the line may shake. What it meant is a straight line between the middles of
//! small steps. Where that line bends, a smoother must round the corner and is not to be blamed; elsewhere the light
//! should run as smoothly as the mean of a second of it.

use crate::run::course::SmoothPlace;

/// Largest step that belongs to a creep: one and a half of 8 bits.
const SMALL: f64 = 1.5 * 257.0;
/// Longest that a creep stays on one value, in s: a fade of ten minutes over 254 steps.
const LONGEST_S: f64 = 5.0;
/// Distance over which a bend is looked for, in s.
const REACH_S: f64 = 0.5;
/// Levels that the line is off its straight continuation after [`REACH_S`] where it bends.
const BENT: f64 = 100.0;
/// How long a bend is felt, before and after, in s: half the mean that is taken, and what the widest filter needs.
const BEFORE_S: f64 = 0.6;
const AFTER_S: f64 = 2.5;

/// The asked Level, packet by packet.
pub(super) struct Asked {
    control_hz: f64,
    /// Control step and Level, where it changes.
    changes: Vec<(f64, f64)>,
}

impl Asked {
    pub(super) fn new(control_hz: f64) -> Self {
        Self {
            control_hz,
            changes: Vec::new(),
        }
    }

    pub(super) fn take(&mut self, step: u32, level: f64) {
        if self.changes.last().is_none_or(|(_, last)| *last != level) {
            self.changes.push((step.into(), level));
        }
    }

    /// For each of so many control steps, whether the light is near a bend of what is asked for.
    pub(super) fn bends(&self, steps: usize) -> Vec<bool> {
        let line = self.line(steps);
        let reach = (REACH_S * self.control_hz) as usize;
        let at = |step: usize| line[step.min(steps - 1)];
        let mut is_bent = vec![false; steps];
        let (before, after) = (
            (BEFORE_S * self.control_hz) as usize,
            (AFTER_S * self.control_hz) as usize,
        );
        let first = self.changes.first().map(|(at, _)| *at as usize);
        let mut end = 0;
        for step in 0..steps {
            let off = at(step + reach) - 2.0 * at(step) + at(step.saturating_sub(reach));
            // The first value is there at once.
            if off.abs() > BENT || first == Some(step) {
                let from = step.saturating_sub(before).max(end);
                end = (step + after).min(steps);
                is_bent[from.min(end)..end].fill(true);
            }
        }
        is_bent
    }

    /// The Level meant at each control step.
    fn line(&self, steps: usize) -> Vec<f64> {
        let corners = self.corners();
        let mut line = Vec::with_capacity(steps);
        let mut next = 0;
        for step in 0..steps {
            let step = step as f64;
            while corners.get(next).is_some_and(|(at, _)| *at <= step) {
                next += 1;
            }
            let place = match (next.checked_sub(1), corners.get(next)) {
                (Some(last), Some(to)) => {
                    let from = corners[last];
                    from.1 + (to.1 - from.1) * (step - from.0) / (to.0 - from.0)
                }
                (Some(last), None) => corners[last].1,
                (None, first) => first.map_or(0.0, |first| first.1),
            };
            line.push(place);
        }
        line
    }

    /// Middles of small steps; both ends of large ones; and where the value stands, its ends.
    fn corners(&self) -> Vec<(f64, f64)> {
        let longest = LONGEST_S * self.control_hz;
        let mut corners = Vec::new();
        for (k, &(at, level)) in self.changes.iter().enumerate() {
            let before = k.checked_sub(1).map(|k| self.changes[k]);
            match before {
                Some((_, last)) if (level - last).abs() <= SMALL => {
                    corners.push((at, f64::midpoint(last, level)));
                }
                Some((_, last)) => corners.extend([(at, last), (at, level)]),
                None => corners.push((at, level)),
            }
            let next = self.changes.get(k + 1).map_or(f64::INFINITY, |next| next.0);
            if next - at > longest {
                let run = before.map_or(0.0, |(since, _)| (at - since).min(longest));
                corners.push((at + run / 2.0, level));
                if next.is_finite() {
                    corners.push((next - run / 2.0, level));
                }
            }
        }
        corners
    }
}

/// The mean over a window round each place: straight lines stay as they are.
pub(super) fn smoothed(places: &[SmoothPlace], window: usize) -> Vec<SmoothPlace> {
    let sums = |of: fn(&SmoothPlace) -> f64| {
        let mut sum = 0.0;
        let mut sums = vec![0.0];
        sums.extend(places.iter().map(|place| {
            sum += of(place);
            sum
        }));
        sums
    };
    let (levels, fulls) = (sums(|place| place.level), sums(|place| place.full_lm));
    let mean = |sums: &[f64], step: usize| {
        let half = (window / 2).min(step).min(places.len() - 1 - step);
        (sums[step + half + 1] - sums[step - half]) / (2 * half + 1) as f64
    };
    (0..places.len())
        .map(|step| SmoothPlace {
            level: mean(&levels, step),
            full_lm: mean(&fulls, step),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A staircase of steps of 257 Levels, one in 100 control steps, is the line through the middles of its steps, and bends where it begins and ends.
    #[test]
    fn the_line_of_a_staircase() {
        let mut asked = Asked::new(1_000.0);
        asked.take(0, 10_000.0);
        (1..=60).for_each(|k| asked.take(6_000 + 100 * k, 10_000.0 + 257.0 * f64::from(k)));
        let line = asked.line(20_000);
        for (step, place) in line.iter().enumerate().take(11_900).skip(6_200) {
            let meant = 10_000.0 + 257.0 * (step as f64 - 6_050.0) / 100.0;
            assert!((place - meant).abs() < 1e-6, "{step}: {place}");
        }
        let bends = asked.bends(20_000);
        assert!(bends[6_100] && bends[12_000]);
        assert!((9_500..10_700).all(|step| !bends[step]) && !bends[4_500] && !bends[19_000]);
    }
}
