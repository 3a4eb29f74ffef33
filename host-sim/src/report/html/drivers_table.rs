//! The figures of drivers and supply, a column a test light.

use maud::{Markup, html};

use crate::numbers::{percent, quantity, significant};
use crate::report::Checked;
use crate::run::{Driving, DrivingChannel, SupplyCurrent};

pub(super) fn table(checked: &Checked, lights: &[&Driving]) -> Markup {
    html! {
        div.scroll {
            table.flicker {
                thead {
                    tr {
                        th scope="col" { "Light" }
                        @for at in lights { th.number scope="col" { (percent(at.light)) } }
                    }
                }
                tbody {
                    (of_channels(checked, lights, "range x stretch", row_name))
                    (of_channels(checked, lights, "edges", |_, _, at| Some(quantity(at.edges_hz, "Hz"))))
                    (of_channels(checked, lights, "shortest pulse", |_, _, at| Some(quantity(at.shortest_pulse_s?, "s"))))
                    (of_channels(checked, lights, "error of light", |_, _, at| Some(percent(at.error?.corrected))))
                    @if !checked.observed.light_errors.is_empty() {
                        (of_channels(checked, lights, "error, edges not given back", |_, _, at| Some(percent(at.error?.uncorrected))))
                    }
                    (of_supply(lights, "supply peak, over full", |current| percent(current.peak)))
                    (of_supply(lights, "supply modulation", |current| percent(current.modulation)))
                    (of_supply(lights, "supply ripple, RMS", |current| percent(current.ripple)))
                    (of_supply(lights, "strongest audible line", strongest))
                }
            }
        }
    }
}

fn of_channels(
    checked: &Checked,
    lights: &[&Driving],
    name: &str,
    cell: impl Fn(&Checked, usize, &DrivingChannel) -> Option<String>,
) -> Markup {
    // A recipe leaves some channels dark.
    let lit = |index: usize| lights.iter().any(|at| at.channels[index].error.is_some());
    let channels = checked.description.channels.iter().enumerate();
    let channels = channels.filter(|(index, _)| lit(*index));
    html! {
        @for (index, channel) in channels {
            tr {
                th scope="row" { (name) ", " (channel.name) }
                @for at in lights {
                    td.number { (cell(checked, index, &at.channels[index]).unwrap_or_else(dash)) }
                }
            }
        }
    }
}

fn dash() -> String {
    "–".to_owned()
}

fn row_name(checked: &Checked, channel: usize, at: &DrivingChannel) -> Option<String> {
    at.error?;
    let row = checked.description.channels[channel].rows.get(at.row)?;
    let range = match row.range_ratio {
        1.0 => "full".to_owned(),
        ratio => format!("1/{}", significant(ratio, 4)),
    };
    Some(format!("{range} x {}", row.stretch))
}

fn of_supply(lights: &[&Driving], name: &str, cell: impl Fn(&SupplyCurrent) -> String) -> Markup {
    html! {
        tr {
            th scope="row" { (name) }
            @for at in lights {
                td.number { (cell(&at.spread)) br; small { "together " (cell(&at.together)) } }
            }
        }
    }
}

fn strongest(current: &SupplyCurrent) -> String {
    let line = current.strongest_line();
    line.map_or_else(dash, |(hertz, amplitude)| {
        format!("{} at {}", percent(amplitude), quantity(hertz, "Hz"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn a_dark_channel_has_dashes_and_rows_are_named() {
        let mut checked = fixture::checked();
        let mut at = checked.observed.driving[0].clone();
        checked.description.channels[0].rows[0].range_ratio = 8.0;
        at.channels[0].row = 0;
        let lit = at.clone();
        let text = |at: &Driving| table(&checked, &[&lit, at]).into_string();
        assert!(text(&at).contains(">1/8 x 1<"));
        assert!(text(&at).contains("together 90 %"));
        let dashes = text(&at).matches('–').count();
        let dark = &mut at.channels[1];
        (dark.edges_hz, dark.shortest_pulse_s, dark.error) = (0.0, None, None);
        // Row, both errors, and a pulse if it had one.
        let more = text(&at).matches('–').count() - dashes;
        assert!((3..=4).contains(&more), "{more}");
        let nowhere = table(&checked, &[&at]).into_string();
        assert!(!nowhere.contains("edges, green") && nowhere.contains("edges, red"));
    }
}
