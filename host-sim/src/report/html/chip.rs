//! What the luminaire takes of its chip.

use maud::{Markup, html};

use crate::chip::Budget;
use crate::numbers::{grouped, percent, quantity, significant};
use crate::report::Checked;

pub(super) fn section(checked: &Checked) -> Markup {
    html! {
        @if let Some(chip) = &checked.description.chip {
            section #chip {
                h2 { "On the chip" }
                p {
                    "By the project's ledger of a Cortex-M0, counted by the published cycle table and not measured on silicon: each channel in "
                    "its costliest row, each transfer a stall of the CPU, each refill behind other interrupts and the longest control step."
                }
                (table(&Budget::of(&checked.description, chip)))
            }
        }
    }
}

fn table(budget: &Budget) -> Markup {
    let cycles = |cycles: f64| format!("{} cycles a tick", significant(cycles, 3));
    let rows = [
        ("streams", cycles(budget.needs.streams_a_tick)),
        ("packing", cycles(budget.needs.packing_a_tick)),
        ("streams and packing", percent(budget.streams_share)),
        ("control steps", percent(budget.control_share)),
        ("DMA stalls", percent(budget.transfers_share)),
        ("all of the CPU", percent(budget.cpu_share())),
        (
            "a control step",
            format!(
                "{} cycles, at most {}",
                grouped(budget.control_cycles.ceil()),
                grouped(budget.longest_control_cycles.ceil())
            ),
        ),
        ("a half of the buffer lasts", quantity(budget.half_s, "s")),
        ("filling it", quantity(budget.filling_s, "s")),
        ("waiting before", quantity(budget.waiting_s, "s")),
        (
            "RAM of the luminaire",
            format!("{} bytes", grouped(budget.luminaire_bytes.ceil())),
        ),
        (
            "RAM of the buffers",
            format!("{} bytes", grouped(budget.needs.buffer_bytes)),
        ),
    ];
    html! {
        table {
            tbody { @for (what, figure) in &rows { tr { th scope="row" { (what) } td { (figure) } } } }
        }
    }
}
