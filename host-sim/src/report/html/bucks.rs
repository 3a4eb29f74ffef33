//! A design page for each buck converter: what follows from its figures, and what would follow from others.

use maud::{Markup, html};

use super::figures::{Figure, grid};
use crate::numbers::{percent, quantity, significant};
use crate::optics::drivers::{Buck, BuckDesign, Driver};
use crate::report::Checked;
use crate::report::buck_designs::{DELAYS, FREQUENCIES, RIPPLES, SUPPLIES, off_time};
use crate::report::plots;

/// One for the channels whose converters are alike.
pub(super) fn sections(checked: &Checked) -> Markup {
    html! {
        @for (names, buck) in converters(checked) {
            section.buck {
                h2 { "Buck converter of " (names.join(", ")) }
                p {
                    "In closed form from event to event, with the supply standing still: an unbroken 1 gives ripple, frequency and mean; a "
                    "pulse begins with no current, and one shorter than the rise never reaches the set point."
                }
                (figures(&buck))
                (grid(&drawings(&buck)))
                h3 { "When supply and delay stray" }
                (spreads(&buck))
                h3 { "Off-time for another ripple or frequency" }
                (off_times(&buck))
            }
        }
    }
}

fn converters(checked: &Checked) -> Vec<(Vec<&str>, Buck)> {
    let mut converters: Vec<(Vec<&str>, Buck)> = Vec::new();
    for channel in &checked.description.channels {
        let Driver::Buck(buck) = channel.driver else {
            continue;
        };
        match converters.iter_mut().find(|(_, known)| *known == buck) {
            Some((names, _)) => names.push(&channel.name),
            None => converters.push((vec![&channel.name], buck)),
        }
    }
    converters
}

fn figures(buck: &Buck) -> Markup {
    let design = buck.design();
    let conduction = if design.continuous {
        "continuous"
    } else {
        "discontinuous: the current runs out in each cycle"
    };
    let rows = [
        ("mean current", quantity(design.mean_a, "A")),
        ("peak current", quantity(design.peak_a, "A")),
        (
            "ripple",
            format!(
                "{}, {} of the mean",
                quantity(design.ripple_a, "A"),
                percent(design.ripple_a / design.mean_a)
            ),
        ),
        ("frequency", quantity(design.frequency_hz, "Hz")),
        (
            "switch closed",
            format!(
                "{}, {} of the time",
                quantity(design.on_time_s, "s"),
                percent(design.closed)
            ),
        ),
        ("conduction", conduction.to_owned()),
        ("rise from zero", quantity(design.rise_s, "s")),
        ("fall to zero", quantity(design.fall_s, "s")),
        ("shortest usable on-time", shortest(&design)),
        (
            "line sensitivity",
            format!(
                "{} % of current for each % of supply",
                significant(buck.line_sensitivity(), 3)
            ),
        ),
    ];
    html! {
        dl { @for (term, words) in rows { div { dt { (term) } dd { (words) } } } }
    }
}

fn shortest(design: &BuckDesign) -> String {
    format!("{}: the rise from zero", quantity(design.rise_s, "s"))
}

fn drawings(buck: &Buck) -> [Figure; 2] {
    [
        Figure::new(
            plots::buck_start(buck),
            "Current of the string from the begin of an unbroken 1",
            "The rise is what a short pulse has to spend before it gives its full current; the ripple goes on as long as the stream is 1.",
        ),
        Figure::new(
            plots::buck_pulses(buck),
            "What a pulse that stands alone gives",
            "Left of the upright dashes, the rise from zero, pulses do not reach the full current: their light falls with \
             the square of their length, and edges cannot be given back by one factor.",
        ),
    ]
}

fn spreads(buck: &Buck) -> Markup {
    html! {
        div.scroll {
            table {
                thead {
                    tr {
                        th scope="col" { "Mean current over the nominal one" }
                        @for delay in DELAYS { th scope="col" { "delay ± " (percent(delay)) } }
                    }
                }
                tbody {
                    @for supply in SUPPLIES {
                        tr {
                            th scope="row" { "supply ± " (percent(supply)) }
                            @for delay in DELAYS { td { (spread(buck, supply, delay)) } }
                        }
                    }
                }
            }
        }
    }
}

fn spread(buck: &Buck, supply: f64, delay: f64) -> String {
    match buck.mean_spread(supply, delay) {
        Ok(spread) => format!("{} to {}", percent(spread.least), percent(spread.most)),
        Err(error) => error.to_string(),
    }
}

fn off_times(buck: &Buck) -> Markup {
    let design = buck.design();
    let ripples = RIPPLES.map(|part| {
        let wanted = format!("ripple of {} of the mean", percent(part));
        (
            wanted,
            off_time(buck, buck.off_time_for_ripple(part * design.mean_a)),
        )
    });
    let frequencies = FREQUENCIES.map(|factor| {
        let hertz = factor * design.frequency_hz;
        (
            quantity(hertz, "Hz"),
            off_time(buck, buck.off_time_for_frequency(hertz)),
        )
    });
    html! {
        p { "Everything else as it is. The mean moves with the ripple, since the peak is what is held." }
        div.scroll {
            table {
                thead {
                    tr {
                        @for head in ["Wanted", "Off-time", "Ripple", "Frequency", "Mean current"] { th scope="col" { (head) } }
                    }
                }
                tbody {
                    @for (wanted, found) in ripples.into_iter().chain(frequencies) {
                        tr {
                            th scope="row" { (wanted) }
                            @match found {
                                Some((seconds, design)) => {
                                    td { (quantity(seconds, "s")) }
                                    td { (quantity(design.ripple_a, "A")) }
                                    td { (quantity(design.frequency_hz, "Hz")) }
                                    td { (quantity(design.mean_a, "A")) }
                                }
                                None => td colspan="4" { "no off-time of continuous conduction gives it" }
                            }
                        }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::drivers::BuckFigures;
    use crate::report::fixture;

    fn buck(set_a: f64) -> Driver {
        let figures = BuckFigures {
            supply_v: 24.0,
            string_v: 9.6,
            string_ohm: 0.0,
            diode_v: 0.4,
            inductance_h: 47e-6,
            output_f: 0.0,
            set_a,
            off_time_s: 1e-6,
            delay_s: 50e-9,
        };
        Driver::Buck(Buck::new(figures).unwrap())
    }

    #[test]
    fn channels_with_the_same_converter_share_a_page() {
        let mut checked = fixture::checked();
        assert_eq!(sections(&checked).into_string(), "");
        checked.description.channels[0].driver = buck(0.5);
        checked.description.channels[1].driver = buck(0.7);
        checked.description.channels[3].driver = buck(0.5);
        let page = sections(&checked).into_string();
        assert_eq!(page.matches("<section").count(), 2);
        assert!(page.contains("Buck converter of red, amber<"));
        assert!(page.contains("Buck converter of green<"));
        assert!(!page.contains("NaN"));
    }

    /// 10 V across 47 uH for 1 us takes 0.2128 A.
    #[test]
    fn the_page_says_what_the_converter_does() {
        let mut checked = fixture::checked();
        checked.description.channels[0].driver = buck(0.5);
        let page = sections(&checked).into_string();
        assert!(page.contains("0.2128 A"), "{page}");
    }
}
