//! The luminaire on its bus: frames over time, the Level asked for and given, dead times, and what faults did.

use maud::{Markup, html};

use super::figures::{Figure, grid};
use crate::faults::Faults;
use crate::numbers::significant;
use crate::report::Checked;
use crate::report::fault_words::{HEADINGS, cells, summary};
use crate::report::plots;
use crate::run::{BusSeen, Heard};

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
            (counts(seen))
        }
    }
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
