//! What a change of row does: a step of light, a step of colour, and the dark in which a set point settles.

use super::colour::{self, channels_at};
use super::row_scan::{Between, Boundary, RowScan};
use super::rules::Rules;
use super::words::place;
use crate::colour::Xy;
use crate::description::{Description, OperatingRow, SetPoints, Settling};
use crate::metrics::{N_STEP, chromaticity, first_order};
use crate::numbers::{percent, quantity, significant};
use crate::run::{Driven, Stand, mean_light};
use crate::verdict::{Rule, Verdict};

/// Of each recipe the worst change, then the worst of all: light, colour and dark.
pub(super) fn judge(description: &Description, scans: &[RowScan]) -> Vec<Verdict> {
    let judge = Judge::new(description);
    let changes = |scan: &RowScan| -> Vec<Change> {
        let boundaries = scan.boundaries.iter();
        boundaries
            .flat_map(|boundary| judge.changes(boundary))
            .collect()
    };
    let recipes: Vec<_> = scans.iter().map(changes).collect();
    let mut verdicts: Vec<_> = recipes
        .iter()
        .flat_map(|changes| judge.verdicts(changes))
        .collect();
    let all = judge.verdicts(&recipes.concat());
    verdicts.extend(all.into_iter().map(Verdict::worst));
    verdicts
}

/// A channel changes its row at a light.
#[derive(Clone, Copy, Debug)]
struct Change {
    recipe: usize,
    channel: usize,
    /// Light of the luminaire, as a fraction of full.
    light: f64,
    from: usize,
    to: usize,
    /// Relative step of the channel's light.
    step: f64,
    /// Delta u'v' of the recipe.
    shift: f64,
    /// Full light of the channel over that of the lower set point, if that is not what the firmware has it for.
    is_ratio: Option<f64>,
    /// Whether the channel's own colour changes.
    recoloured: bool,
    /// Longest dark in seconds, if the set point settles in the dark.
    gap_s: Option<f64>,
}

struct Judge<'a> {
    description: &'a Description,
    rules: Rules,
    driven: Vec<Driven>,
    colours: Vec<(Xy, f64)>,
}

impl<'a> Judge<'a> {
    fn new(description: &'a Description) -> Self {
        Self {
            description,
            rules: Rules::of(description),
            driven: Driven::all(description),
            colours: colour::channels(description),
        }
    }

    /// Upwards where the lower row is left, downwards where the upper one is.
    fn changes(&self, boundary: &Boundary) -> [Change; 2] {
        let Boundary {
            recipe,
            channel,
            down,
            up,
        } = boundary;
        [
            self.change(*recipe, *channel, up, (&up.below, &up.above)),
            self.change(*recipe, *channel, down, (&down.above, &down.below)),
        ]
    }

    fn change(
        &self,
        recipe: usize,
        channel: usize,
        at: &Between,
        (before, after): (&[Stand], &[Stand]),
    ) -> Change {
        let lights = self.lights(before);
        let mut arrived = before.to_vec();
        match self.description.operating.set_points {
            SetPoints::Own => arrived[channel] = after[channel],
            SetPoints::Common => arrived.copy_from_slice(after),
        }
        let changed = self.lights(&arrived);
        let colour = |stands: &[Stand], lights: &[f64]| {
            chromaticity(&channels_at(&self.colours, &self.driven, stands), lights)
        };
        let colours = colour(before, &lights).zip(colour(&arrived, &changed));
        let xy = |stand: &Stand| self.driven[channel].xy(stand);
        let (from, to) = (before[channel].row, after[channel].row);
        Change {
            recipe,
            channel,
            light: at.light,
            from,
            to,
            step: (changed[channel] / lights[channel] - 1.0).abs(),
            shift: colours.map_or(0.0, |(one, other)| one.distance(other)),
            is_ratio: self.is_ratio(channel, from.min(to)),
            recoloured: xy(&before[channel]) != xy(&after[channel]),
            gap_s: self.dark_s(channel, &before[channel], &after[channel]),
        }
    }

    /// Full light over that of a row's set point, where the firmware has another.
    fn is_ratio(&self, channel: usize, row: usize) -> Option<f64> {
        let asked = self.rows(channel)[row].range_ratio;
        let is = self.driven[channel].set_points[row].light.recip();
        ((is / asked - 1.0).abs() > 1e-9).then_some(is)
    }

    fn light(&self, channel: usize, stand: &Stand) -> f64 {
        mean_light(self.description, channel, &self.driven[channel], stand)
    }

    fn lights(&self, stands: &[Stand]) -> Vec<f64> {
        let stands = stands.iter().enumerate();
        stands
            .map(|(channel, stand)| self.light(channel, stand))
            .collect()
    }

    /// The pause, after the longest gap of the row that is left: its next pulse was due when the pause began.
    fn dark_s(&self, channel: usize, before: &Stand, after: &Stand) -> Option<f64> {
        let operating = &self.description.operating;
        let ratio = |stand: &Stand| self.rows(channel)[stand.row].range_ratio;
        let pauses = operating.settling == Settling::DarkPause
            && operating.settling_s > 0.0
            && ratio(before) != ratio(after);
        let tick_hz = f64::from(self.description.tick_hz);
        let words = (operating.settling_s * tick_hz / 32.0).ceil();
        let gap = first_order(before.density)?.longest_dark_ticks
            * f64::from(self.rows(channel)[before.row].stretch);
        let slowest_hz = tick_hz * (1.0 - self.description.tick_tolerance);
        pauses.then_some((32.0 * words + gap) / slowest_hz)
    }

    fn rows(&self, channel: usize) -> &[OperatingRow] {
        &self.description.channels[channel].rows
    }

    fn verdicts(&self, changes: &[Change]) -> Vec<Verdict> {
        let worst = |of: fn(&Change) -> f64| {
            // The first of equals.
            let by_value = |a: &&Change, b: &&Change| of(a).total_cmp(&of(b));
            changes.iter().rev().max_by(by_value)
        };
        let gap_s = |change: &Change| change.gap_s.unwrap_or(0.0);
        let verdicts = [
            worst(|change| change.step).map(|change| self.step(change)),
            worst(|change| change.shift).map(|change| self.shift(change)),
            worst(gap_s).and_then(|change| self.gap(change)),
        ];
        verdicts.into_iter().flatten().collect()
    }

    fn step(&self, change: &Change) -> Verdict {
        let reason = format!(
            "{}: its light changes by {}",
            self.named(change),
            percent(change.step)
        );
        self.judged(&self.rules.range_step, change, change.step, reason)
            .mended_by(|| Some(self.remedy(change)))
    }

    fn shift(&self, change: &Change) -> Verdict {
        let steps = significant(change.shift / N_STEP, 4);
        let reason = format!(
            "{}: the colour moves by {steps} n-steps",
            self.named(change)
        );
        self.judged(&self.rules.range_colour, change, change.shift, reason)
            .mended_by(|| {
                Some(match (change.is_ratio, change.recoloured) {
                    (None, true) => RECOLOURED.to_owned(),
                    _ => self.remedy(change),
                })
            })
    }

    fn gap(&self, change: &Change) -> Option<Verdict> {
        let settling = quantity(self.description.operating.settling_s, "s");
        let reason = format!(
            "{}: dark while the set point settles for {settling}, after the gap between two pulses",
            self.named(change)
        );
        let verdict = self.judged(&self.rules.dark_gap, change, change.gap_s?, reason);
        Some(verdict.mended_by(|| {
            Some("use settling = \"booked\", or set points that settle faster".to_owned())
        }))
    }

    fn judged(&self, rule: &Rule, change: &Change, value: f64, reason: String) -> Verdict {
        rule.judge(
            place(self.description, change.recipe, change.light),
            value,
            reason,
        )
    }

    /// `red goes from 1/16 of its current, 1 tick a decision, to all of it, 4 ticks`.
    fn named(&self, change: &Change) -> String {
        let rows = self.rows(change.channel);
        let described = |row: usize| {
            let OperatingRow {
                range_ratio,
                stretch,
                ..
            } = rows[row];
            format!("1/{} x {stretch}", significant(range_ratio, 4))
        };
        format!(
            "{} goes from range x stretch of {} to {}",
            self.description.channels[change.channel].name,
            described(change.from),
            described(change.to)
        )
    }

    fn remedy(&self, change: &Change) -> String {
        if let Some(is_ratio) = change.is_ratio {
            let ratio = significant(is_ratio, 6);
            return format!(
                "set range_ratio = {ratio} there: full light over the light that the lower set point gives, as measured"
            );
        }
        match self.description.operating.edge_correction {
            false => "set edge_correction = true: edges take another part of the light in each row",
            true => {
                "use a longer stretch in the row in which a pulse is no pulse any more, or a driver with \
                 shorter edges: what edges take is no longer the same for each pulse"
            }
        }
        .to_owned()
    }
}

/// What no calibration mends.
const RECOLOURED: &str = "use a smaller range_ratio, or change the set point at a light where the channel gives less of the colour: \
                          its LEDs have another colour at another current";

#[cfg(test)]
mod tests {
    use super::super::row_scan::scan;
    use super::*;
    use crate::optics::drivers::{Buck, BuckFigures, Driver, Slew, SlewFigures};
    use crate::report::fixture;
    use crate::verdict::Outcome;

    /// An eighth of the current up to 5 % of a channel's light, 1 MHz; edges that take 0.3 ticks.
    fn luminaire() -> Description {
        let mut description = fixture::checked().description;
        let figures = SlewFigures {
            rise_s: 700e-9,
            fall_s: 100e-9,
            ..SlewFigures::default()
        };
        for channel in &mut description.channels {
            channel.driver = Driver::Slew(Slew::new(figures).unwrap());
            channel.rows = [(0.0, 8.0, 1), (0.05, 1.0, 4)]
                .map(|(from_light, range_ratio, stretch)| OperatingRow {
                    from_light,
                    range_ratio,
                    stretch,
                    ..OperatingRow::PLAIN
                })
                .to_vec();
        }
        description.operating.settling_s = 100e-6;
        description
    }

    fn judged(description: &Description) -> Vec<Verdict> {
        judge(description, &scan(description))
    }

    fn worst<'v>(verdicts: &'v [Verdict], id: &str) -> &'v Verdict {
        let mut worst = verdicts.iter().filter(|row| row.is_worst && row.id == id);
        worst.next().unwrap()
    }

    #[test]
    fn one_row_changes_nothing() {
        assert_eq!(judged(&fixture::checked().description), []);
    }

    #[test]
    fn edges_given_back_leave_no_step() {
        let verdicts = judged(&luminaire());
        // Two recipes and the worst of both.
        assert_eq!(verdicts.len(), 9);
        for id in ["range_step", "range_colour"] {
            let worst = worst(&verdicts, id);
            assert_eq!(worst.outcome, Outcome::Pass, "{worst:?}");
            assert!(worst.value.unwrap() < worst.limit / 10.0, "{worst:?}");
        }
    }

    /// Uncorrected: below 1 - 0.3, above 1 - 0.3 / 4 of the light asked for.
    #[test]
    fn edges_not_given_back_step_by_what_the_rows_take() {
        let mut description = luminaire();
        description.operating.edge_correction = false;
        let verdicts = judged(&description);
        let step = worst(&verdicts, "range_step");
        let expected = (1.0 - 0.3 / 4.0) / (1.0 - 0.3) - 1.0;
        assert!(
            (step.value.unwrap() / expected - 1.0).abs() < 1e-3,
            "{step:?}"
        );
        assert_eq!(step.outcome, Outcome::Fail);
        assert!(step.remedy.as_ref().unwrap().contains("edge_correction"));
        assert_eq!(worst(&verdicts, "range_colour").outcome, Outcome::Fail);
    }

    /// 100 us are 4 words of 32 us; the lower row pulses every 2 to 3 ticks there, the upper one every 20 decisions of 4.
    #[test]
    fn the_dark_of_a_settling_set_point_is_judged() {
        let mut description = luminaire();
        let verdicts = judged(&description);
        let gap = worst(&verdicts, "dark_gap").value.unwrap();
        let longest = (4.0 * 32.0 + 4.0 * 20.0) / 0.98e6;
        assert!((gap / longest - 1.0).abs() < 0.03, "{gap} {longest}");
        description.requirements.dark_gap_s = 0.9 * longest;
        assert_eq!(
            worst(&judged(&description), "dark_gap").outcome,
            Outcome::Fail
        );
        description.operating.settling = Settling::Booked;
        assert!(judged(&description).iter().all(|row| row.id != "dark_gap"));
    }

    /// An inductor whose current does not run out between pulses gives more in each: such pulses are stepped.
    #[test]
    fn pulses_that_meet_step() {
        let mut description = luminaire();
        let figures = BuckFigures {
            supply_v: 24.0,
            string_v: 9.6,
            string_ohm: 2.0,
            diode_v: 0.4,
            inductance_h: 47e-6,
            output_f: 0.0,
            set_a: 0.5,
            off_time_s: 2e-6,
            delay_s: 0.0,
        };
        for channel in &mut description.channels {
            channel.driver = Driver::Buck(Buck::new(figures).unwrap());
            channel.rows[0].range_ratio = 12.0;
        }
        let verdicts = judged(&description);
        let step = worst(&verdicts, "range_step");
        assert!(step.value.unwrap() > 0.05, "{step:?}");
        assert_eq!(step.outcome, Outcome::Fail);
    }

    #[test]
    fn set_points_in_common_change_together() {
        let mut description = luminaire();
        description.operating.edge_correction = false;
        description.operating.set_points = SetPoints::Common;
        let verdicts = judged(&description);
        // Every channel takes the same step, so that the colour stays.
        assert_eq!(worst(&verdicts, "range_step").outcome, Outcome::Fail);
        assert_eq!(worst(&verdicts, "range_colour").outcome, Outcome::Pass);
    }
}
