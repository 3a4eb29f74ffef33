//! What the luminaire takes of its chip.

use serde_json::{Value, json};

use crate::chip::Budget;
use crate::description::Description;

pub(super) fn chip(description: &Description) -> Value {
    let Some(chip) = &description.chip else {
        return Value::Null;
    };
    let budget = Budget::of(description, chip);
    json!({
        "luminaire_bytes": budget.luminaire_bytes,
        "buffer_bytes": budget.needs.buffer_bytes,
        "streams_cycles_a_tick": budget.needs.streams_a_tick,
        "packing_cycles_a_tick": budget.needs.packing_a_tick,
        "transfers_hz": budget.needs.transfers_a_tick * budget.tick_hz,
        "control_cycles": budget.control_cycles,
        "longest_control_cycles": budget.longest_control_cycles,
        "streams_share": budget.streams_share,
        "control_share": budget.control_share,
        "dma_stall_share": budget.transfers_share,
        "cpu_share": budget.cpu_share(),
        "half_s": budget.half_s,
        "filling_s": budget.filling_s,
        "waiting_s": budget.waiting_s,
        "slack_s": budget.slack_s(),
    })
}
