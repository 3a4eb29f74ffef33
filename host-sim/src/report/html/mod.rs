//! The report as one HTML page that needs nothing else: style and drawings are inside.

pub(super) mod figures;
mod parameters;
pub(super) mod verdicts;

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

use super::{Checked, order};
use crate::verdict::Outcome;

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

fn cautions() -> Markup {
    markup! {
        section #cautions {
            h2 { "Cautions" }
            p {
                "This is a simulation, not a measurement: it steps the firmware's own arithmetic and "
                "knows nothing of the driver, the LEDs or the heat of a built luminaire."
            }
            p {
                "Flickering light can harm photosensitive people. Do not show a light that pulses below "
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
        let rest = page.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
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
    fn every_plot_is_there_and_a_script_is_not_needed() {
        let mut checked = fixture::checked();
        let drawings = |checked: &Checked| page(checked).matches("<svg").count();
        assert_eq!(drawings(&checked), 2 + 2 + 2 + 10 + 1 + 2);
        checked.observed.script.clear();
        checked.observed.fades.clear();
        assert_eq!(drawings(&checked), 2 + 10 + 1 + 2);
    }
}
