//! Whether the drivers follow their streams: whether the shortest pulse is still a pulse.

use super::row_scan::{RowScan, UsedRow};
use super::rules::Rules;
use super::words::place;
use crate::description::{Description, OperatingRow};
use crate::numbers::{percent, quantity};
use crate::optics::drivers::{Driver, Following, Hindrance};
use crate::verdict::{Rule, Verdict};

/// The longest decision that the core offers, in ticks.
const LONGEST_STRETCH: u8 = 16;

/// The worst channel of each recipe at the deepest light, then the worst of all rows that steady light uses.
pub(super) fn judge(description: &Description, scans: &[RowScan]) -> Vec<Verdict> {
    let judge = Judge {
        description,
        rule: Rules::of(description).driver_follows,
    };
    let deepest = scans.iter().filter_map(|scan| judge.deepest(scan));
    let mut verdicts: Vec<_> = deepest.map(|worst| judge.verdict(&worst)).collect();
    let rows = scans.iter().flat_map(|scan| &scan.used);
    let everywhere = judge.worst(rows);
    verdicts.extend(everywhere.map(|worst| judge.verdict(&worst).worst()));
    verdicts
}

struct Judge<'a> {
    description: &'a Description,
    rule: Rule,
}

type Found = (UsedRow, Following);

impl Judge<'_> {
    /// The worst of the rows that the lowest light of a recipe uses.
    fn deepest(&self, scan: &RowScan) -> Option<Found> {
        let lights = scan.used.iter().map(|used| used.light);
        let lowest = lights.fold(f64::INFINITY, f64::min);
        self.worst(scan.used.iter().filter(|used| used.light == lowest))
    }

    fn worst<'u>(&self, rows: impl Iterator<Item = &'u UsedRow>) -> Option<Found> {
        let found = rows.map(|used| (*used, self.following(used, self.row(used).stretch)));
        // The first of equals: the deepest light of the first recipe.
        found.reduce(|worst, next| {
            if reached(&next.1) < reached(&worst.1) {
                next
            } else {
                worst
            }
        })
    }

    fn driver(&self, used: &UsedRow) -> &Driver {
        &self.description.channels[used.channel].driver
    }

    fn row(&self, used: &UsedRow) -> OperatingRow {
        self.description.channels[used.channel].rows[used.row]
    }

    /// Ticks are shortest at the fast end of the tick rate's tolerance.
    fn tick_s(&self) -> f64 {
        1.0 / (f64::from(self.description.tick_hz) * (1.0 + self.description.tick_tolerance))
    }

    fn following(&self, used: &UsedRow, stretch: u8) -> Following {
        let following = self.driver(used).following(self.tick_s(), stretch.into());
        following.expect("a validated tick")
    }

    fn verdict(&self, (used, following): &Found) -> Verdict {
        let at = place(self.description, used.recipe, used.light);
        self.rule
            .judge(at, reached(following), self.reason(used, following))
            .mended_by(|| Some(self.remedy(used, following.hindrance)))
    }

    fn reason(&self, used: &UsedRow, following: &Following) -> String {
        let pulse_s = f64::from(self.row(used).stretch) * self.tick_s();
        let cause = following.hindrance.map_or(String::new(), |hindrance| {
            format!("; the {hindrance} hinders it")
        });
        format!(
            "{}: its shortest pulse of {} reaches {} of the full current, and {} of its charge flows in time{cause}",
            self.description.channels[used.channel].name,
            quantity(pulse_s, "s"),
            percent(following.peak),
            percent(following.in_time),
        )
    }

    /// The shortest longer decision that would do, and what to change of the driver.
    fn remedy(&self, used: &UsedRow, hindrance: Option<Hindrance>) -> String {
        let row = self.row(used);
        let longer = std::iter::successors(Some(row.stretch), |stretch| stretch.checked_mul(2))
            .skip(1)
            .take_while(|stretch| *stretch <= LONGEST_STRETCH)
            .find(|stretch| self.following(used, *stretch).hindrance.is_none());
        let by_stretch = match longer {
            Some(stretch) => format!(
                "use a stretch of {stretch} in this row, whose pulses then come {} times as rarely",
                stretch / row.stretch
            ),
            None => format!("no stretch up to {LONGEST_STRETCH} would do"),
        };
        format!("{by_stretch}; or {}", instead(hindrance))
    }
}

/// What of the pulse there is: of its height or of its charge in time, whichever is less.
fn reached(following: &Following) -> f64 {
    following.peak.min(following.in_time)
}

fn instead(hindrance: Option<Hindrance>) -> &'static str {
    match hindrance {
        Some(Hindrance::Inductor) => {
            "use a driver whose current need not rise from zero: a switch across the string (shunt) or a linear source (slew)"
        }
        Some(Hindrance::Capacitor) => "leave out the capacitor across the string",
        Some(Hindrance::Rise) | None => "use a driver with shorter edges and delays",
    }
}

#[cfg(test)]
mod tests {
    use super::super::row_scan::scan;
    use super::*;
    use crate::optics::drivers::{Buck, BuckFigures, Slew, SlewFigures};
    use crate::report::fixture;
    use crate::verdict::Outcome;

    /// With 2 % of tolerance.
    fn judged(tick_hz: u32, driver: &Driver, stretches: &[u8]) -> Vec<Verdict> {
        let mut description = fixture::checked().description;
        description.tick_hz = tick_hz;
        for channel in &mut description.channels {
            channel.driver = *driver;
            let rows = stretches.iter().zip([0.0, 0.2]);
            channel.rows = rows
                .map(|(&stretch, from_light)| OperatingRow {
                    from_light,
                    stretch,
                    ..OperatingRow::PLAIN
                })
                .collect();
        }
        judge(&description, &scan(&description))
    }

    fn slew(rise_s: f64) -> Driver {
        let figures = SlewFigures {
            rise_s,
            ..SlewFigures::default()
        };
        Driver::Slew(Slew::new(figures).unwrap())
    }

    fn buck(output_f: f64) -> Driver {
        let figures = BuckFigures {
            supply_v: 24.0,
            string_v: 9.6,
            string_ohm: 2.0,
            diode_v: 0.4,
            inductance_h: 47e-6,
            output_f,
            set_a: 0.5,
            off_time_s: 2e-6,
            delay_s: 0.0,
        };
        Driver::Buck(Buck::new(figures).unwrap())
    }

    #[test]
    fn the_fast_end_of_the_tick_rate_decides() {
        let outcome = |rise_s| judged(1_000_000, &slew(rise_s), &[1])[0].outcome;
        // At 0.9 of a rise of 1.0893 us the tick of 1 / 1.02 us ends.
        assert_eq!(outcome(1.088e-6), Outcome::Pass);
        assert_eq!(outcome(1.090e-6), Outcome::Fail);
    }

    #[test]
    fn a_failure_names_its_cause_and_the_stretch_that_would_do() {
        let verdicts = judged(3_000_000, &buck(0.0), &[1]);
        assert_eq!(verdicts.len(), 3, "two recipes and the worst");
        let [first, .., worst] = &verdicts[..] else {
            panic!()
        };
        assert_eq!(
            (first.at.as_str(), first.outcome),
            ("evening, 0.1 %", Outcome::Fail)
        );
        assert!(worst.is_worst && worst.value == first.value);
        assert!(
            first.reason.contains("the inductor hinders it"),
            "{}",
            first.reason
        );
        let remedy = first.remedy.as_ref().unwrap();
        assert!(
            remedy.starts_with("use a stretch of 4 in this row"),
            "{remedy}"
        );
        assert!(remedy.contains("shunt"));
        // What it says is so.
        assert_eq!(
            judged(3_000_000, &buck(0.0), &[4])[0].outcome,
            Outcome::Pass
        );
    }

    #[test]
    fn a_capacitor_is_named() {
        let failed = &judged(3_000_000, &buck(10e-6), &[16])[0];
        assert!(
            failed.reason.contains("the capacitor hinders it"),
            "{}",
            failed.reason
        );
        let remedy = failed.remedy.as_ref().unwrap();
        assert!(
            remedy.contains("no stretch up to 16 would do; or leave out"),
            "{remedy}"
        );
    }

    #[test]
    fn every_row_that_steady_light_uses_is_judged() {
        let verdicts = judged(3_000_000, &buck(0.0), &[4, 1]);
        let outcomes: Vec<_> = verdicts.iter().map(|verdict| verdict.outcome).collect();
        assert_eq!(outcomes, [Outcome::Pass, Outcome::Pass, Outcome::Fail]);
        assert!(
            verdicts[2].at.starts_with("worst: evening, "),
            "{}",
            verdicts[2].at
        );
    }
}
