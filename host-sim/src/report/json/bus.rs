//! What a bus brought, and what came of faults, as JSON.

use serde_json::{Map, Value, json};

use crate::faults::{FaultRow, Faults};
use crate::run::{BusSeen, FrameSeen};

pub(super) fn bus(seen: &BusSeen) -> Value {
    let dead_time = |frame: &FrameSeen| {
        let seconds = frame.dead_time_s?;
        Some(json!({ "at_s": frame.at_s, "frame": frame.text, "dead_time_s": seconds }))
    };
    json!({
        "frames": seen.frames.len(),
        "dead_times": seen.frames.iter().filter_map(dead_time).collect::<Vec<_>>(),
        "interval_s": seen.interval_s,
        "counts": counts(seen.counts.iter().map(|&(name, count)| (name, u64::from(count)))),
        "stream_hash": format!("{:08x}", seen.stream_hash),
    })
}

pub(super) fn faults(faults: &Faults) -> Value {
    let limit = faults.modulation_limit;
    json!({
        "seconds": faults.seconds(),
        "survived": faults.survived(),
        "rows": faults.rows.iter().map(|row| fault(row, limit)).collect::<Vec<_>>(),
    })
}

fn fault(row: &FaultRow, limit: f64) -> Value {
    json!({
        "id": row.kind.id(),
        "name": row.kind.name(),
        "seconds": row.seconds,
        "injected": row.injected,
        "counters": counts(row.counters.iter().copied()),
        "light_outside_limits": row.outside,
        "jumps": row.jumps,
        "fade_off_time_steps": row.off_time_steps,
        "below_90_hz": row.below_90_hz,
        "flashes_hz": row.flashes_hz,
        "recovered": row.recovered,
        "survived": row.survived(limit),
        "how": row.kind.how(),
    })
}

fn counts(counts: impl Iterator<Item = (&'static str, u64)>) -> Map<String, Value> {
    counts
        .map(|(name, count)| (name.to_owned(), Value::from(count)))
        .collect()
}
