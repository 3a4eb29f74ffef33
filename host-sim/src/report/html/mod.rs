//! The report as one HTML page that needs nothing else: style and drawings are inside.

mod bucks;
mod bus;
mod chip;
mod colour;
mod comparison;
mod drivers;
mod drivers_table;
pub(super) mod figures;
mod flicker;
pub(super) mod flicker_table;
mod parameters;
mod pictures;
mod spread;
pub(super) mod verdicts;
mod warm;

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

use super::hazard::{harm, hazard};
use super::{Checked, order};
use crate::verdict::{Outcome, Verdict};

/// The page. `locus` is the spectral locus in u', v', from one end to the other.
#[must_use]
pub fn html(checked: &Checked, locus: &[(f64, f64)]) -> String {
    let name = &checked.description.name;
    let body = markup! {
        (header(checked))
        main {
            (verdicts::section(&checked.verdicts))
            (cautions())
            (figures::sections(checked, locus))
            @if let Some(faults) = &checked.faults { (bus::faults(faults)) }
            @if let Some(figures) = &checked.spread { (spread::section(checked, figures)) }
            @if let Some(ways) = &checked.comparison { (comparison::section(checked, ways)) }
            (parameters::section(checked))
        }
    };
    page(&format!("{name}: {}", outcome(checked)), &body)
}

/// A page of this title, its style inside.
pub(super) fn page(title: &str, body: &Markup) -> String {
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(include_str!("report.css"))) }
            }
            body { (body) }
        }
    };
    page.into_string()
}

fn outcome(checked: &Checked) -> &'static str {
    if checked.passed() { "passed" } else { "failed" }
}

fn header(checked: &Checked) -> Markup {
    let worst = order::worst_of_each(&checked.verdicts);
    let count = |outcome| {
        worst
            .iter()
            .filter(|verdict| verdict.outcome == outcome)
            .count()
    };
    let (failed, not_judged) = (count(Outcome::Fail), count(Outcome::NotJudged));
    markup! {
        header {
            h1 { (checked.description.name) }
            @if let Some(verdict) = hazard(&checked.verdicts) { (hazard_flag(verdict)) }
            p.outcome { "Check " strong.fail[failed > 0] { (outcome(checked)) } }
            p {
                (worst.len()) " metrics: " (failed) " broke a limit, "
                (not_judged) " could not be judged, "
                (count(Outcome::Pass)) " kept every limit."
            }
            @if let Some(note) = &checked.description.note { p.note { (note) } }
        }
    }
}

/// Stands above everything else: it is about whoever is in the room.
fn hazard_flag(verdict: &Verdict) -> Markup {
    markup! {
        div.hazard role="note" {
            p { strong { "Photosensitivity hazard." } }
            p {
                "This light has " (harm(verdict)) " (" (verdict.at) "). "
                "Flicker of this kind can trigger seizures in photosensitive people, who may not know that they are. "
                "Build no such light and show it to nobody on the strength of this report: whether a light is safe "
                "for people is for qualified people to say, after accredited measurement."
            }
        }
    }
}

fn cautions() -> Markup {
    markup! {
        section #cautions {
            h2 { "Cautions" }
            p {
                "This is a simulation, not a measurement: it steps the firmware's own arithmetic and "
                "knows of the drivers what the file says of them, and nothing of the LEDs or the heat of a built luminaire."
            }
            p {
                "Flickering light can harm photosensitive people. Light whose modulation below 90 Hz reaches 5 % is "
                "flagged at the top of this page; that no flag stands there proves nothing. Do not show a light that pulses below "
                "90 Hz to anybody who has not agreed to it, and stop at the first discomfort."
            }
            p {
                "Optical-radiation safety, mains wiring, thermal design and local codes belong to "
                "qualified people and accredited measurement."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    fn page(checked: &Checked) -> String {
        html(checked, &fixture::locus())
    }

    #[test]
    fn a_hostile_name_is_text_wherever_it_stands() {
        let mut checked = fixture::failing();
        let hostile = "<script>alert(1)</script>\"'&";
        checked.description.name = hostile.to_owned();
        checked.description.note = Some(hostile.to_owned());
        checked.description.recipes[0].name = hostile.to_owned();
        checked.description.channels[0].name = hostile.to_owned();
        checked.origin = hostile.to_owned();
        checked.verdicts[0].at = hostile.to_owned();
        checked.verdicts[0].reason = hostile.to_owned();
        let page = page(&checked);
        assert!(!page.contains("<script"));
        assert!(page.contains("&lt;script&gt;"));
    }

    #[test]
    fn nothing_outside_is_needed() {
        let page = page(&fixture::failing());
        let page = page.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
        let mut parts = page.split("src=\"data:image/png;base64,");
        let inside = |part: &str| part.split_once('"').unwrap().1.to_owned();
        let rest = parts.next().unwrap().to_owned() + &parts.map(inside).collect::<String>();
        for outside in ["http", "//", "src=", "@import", "url(", "<link", "<script"] {
            assert!(!rest.contains(outside), "{outside}");
        }
    }

    #[test]
    fn the_same_input_gives_the_same_bytes() {
        assert_eq!(page(&fixture::checked()), page(&fixture::checked()));
        assert!(!page(&fixture::checked()).contains("NaN"));
    }

    #[test]
    fn failures_stand_before_passes_with_their_remedy() {
        let page = page(&fixture::failing());
        let place = |text: &str| page.find(text).unwrap_or_else(|| panic!("{text}"));
        assert!(place("Raise tick_hz") < place(">not judged<"));
        assert!(place(">fail<") < place(">not judged<") && place(">not judged<") < place(">pass<"));
        assert!(page.contains("Check <strong class=\"fail\">failed"));
    }

    #[test]
    fn a_hazard_stands_above_the_outcome() {
        let mut checked = fixture::checked();
        assert!(!page(&checked).contains("Photosensitivity hazard"));
        let verdict = fixture::verdict("below_90_hz", 0.41, 0.05, "1");
        checked.verdicts.push(Verdict {
            outcome: Outcome::Fail,
            ..verdict
        });
        let page = page(&checked);
        let place = |text: &str| page.find(text).unwrap_or_else(|| panic!("{text}"));
        assert!(place("Photosensitivity hazard") < place("class=\"outcome\""));
        assert!(place("has 41 %") < place("qualified people"));
    }

    /// A table, errors of two recipes, the supply at each test light.
    const DRIVERS: usize = 1 + 2 + 10;

    #[test]
    fn every_plot_is_there_and_a_script_is_not_needed() {
        let mut checked = fixture::checked();
        let drawings = |checked: &Checked| page(checked).matches("<svg").count();
        assert_eq!(
            drawings(&checked),
            2 + 2 + 2 + 10 + 2 + DRIVERS + 2 + 40 + 5
        );
        checked.observed.script.clear();
        checked.observed.fades.clear();
        assert_eq!(drawings(&checked), 2 + 10 + 2 + DRIVERS + 2 + 40 + 5);
    }
}
