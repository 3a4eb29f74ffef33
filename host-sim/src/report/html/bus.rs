//! The luminaire on its bus: frames over time, the Level asked for and given, dead times, and what faults did.

use maud::{Markup, html};

use super::figures::{Figure, grid};
use crate::description::BusKind;
use crate::faults::Faults;
use crate::numbers::significant;
use crate::report::Checked;
use crate::report::fault_words::{HEADINGS, cells, summary};
use crate::report::plots;
use crate::run::{BusSeen, FADE_S, Heard, delay_s, smoothed};

pub(super) fn section(checked: &Checked, seen: &BusSeen) -> Markup {
    let levels = Figure::new(
        plots::bus_levels(checked, seen),
        "Level asked for and given",
        "Each dot is a frame at the Level that it asks for; the line is where the light is. Above, a mark for every frame: \
         long ones moved the light, short ones were taken and moved nothing, and the lowest row was for others, unknown or refused.",
    );
    let times = Figure::new(
        plots::dead_times(checked, seen),
        "From a frame to its light",
        "The time from each frame that moved the light to the first light that it brings: the next control step, or out of the \
         dark the first lit tick. The dashes are what is allowed.",
    );
    html! {
        section #bus {
            h2 { "On the bus" }
            p { (told(seen)) }
            (grid(&[levels, times]))
            @if let Some(figures) = smoothing(checked) { div.pair { (grid(&figures)) } }
            (counts(seen))
        }
    }
}

/// What a receiver of slots makes of a console, whatever its log.
fn smoothing(checked: &Checked) -> Option<[Figure; 1]> {
    let bus = checked.description.bus.as_ref()?;
    let BusKind::Dmx512(set) = &bus.kind else {
        return None;
    };
    let lines = smoothed(&checked.description, set);
    let severity = |bits: u8| {
        let of = lines.iter().filter(|line| line.bits == bits);
        let worst = of.filter_map(|line| line.pst_lm).reduce(f64::max);
        worst.map_or_else(|| "none".to_owned(), |worst| significant(worst, 2))
    };
    let caption = format!(
        "First, the begin of a fade of {FADE_S} s over all slots: a value of 8 bits is {} ms late and without its steps, one of 16 bits \
         {} ms. Then a jump, there within two packets. Good line; packets late by up to 2 ms; the same and one in twenty lost. \
         PstLM of such a fade with both its corners, over the ideal light so much later, at worst: 8 bits {}, 16 bits {}.",
        significant(1e3 * delay_s(set, 8), 3),
        significant(1e3 * delay_s(set, 16), 3),
        severity(8),
        severity(16),
    );
    let title = "What the receiver makes of a console";
    Some([Figure::new(plots::smoothing(&lines), title, &caption)])
}

fn told(seen: &BusSeen) -> String {
    let count = |heard: Heard| {
        seen.frames
            .iter()
            .filter(|frame| frame.heard == heard)
            .count()
    };
    let interval = seen.interval_s.map_or_else(String::new, |seconds| {
        format!(
            " Packets come every {} ms, as the core measured it.",
            significant(1e3 * seconds, 4)
        )
    });
    format!(
        "{} frames: {} moved the light, {} were taken and moved nothing, {} were passed over, and the bus failed {} times.{interval}",
        seen.frames.len(),
        count(Heard::Moved),
        count(Heard::Taken),
        count(Heard::Passed),
        count(Heard::Lost),
    )
}

fn counts(seen: &BusSeen) -> Markup {
    html! {
        div.scroll {
            table {
                thead { tr { th scope="col" { "Counter that the firmware can read" } th.number scope="col" { "value" } } }
                tbody {
                    @for (name, count) in &seen.counts {
                        tr { th scope="row" { (name) } td.number { (count) } }
                    }
                }
            }
        }
    }
}

pub(super) fn faults(faults: &Faults) -> Markup {
    html! {
        section #faults {
            h2 { "Faults" }
            p { (summary(faults)) "." }
            div.scroll {
                table {
                    thead { tr { @for heading in HEADINGS { th scope="col" { (heading) } } th scope="col" { "how" } } }
                    tbody {
                        @for row in &faults.rows {
                            tr { @for cell in cells(row, faults) { td { (cell) } } td { (row.kind.how()) } }
                        }
                    }
                }
            }
        }
    }
}
