//! The result of `explore` as one JSON document.

use serde_json::{Map, Value, json};

use super::Searched;
use crate::explore::{Candidate, Design, Empty, REQUIREMENTS, Relaxation, Scores};
use crate::report::parameters::{modulation, parameters, row};
use crate::report::{PROGRAM, VERSION};

/// The document, keys in this order:
///
/// | key | holds |
/// |---|---|
/// | `schema_version` | 1; raised when a key changes its meaning or goes |
/// | `tool` | `name` and `version` of the program |
/// | `input` | `origin` (file name or `built in`) and `sha256` of the luminaire |
/// | `parameters` | every effective parameter, as in the document of `check` |
/// | `searched` | `candidates` (how many), `chip_hz`, `chip_hz_is_assumed`, `tick_hz` (the rates tried), `range_ratios`, `range_ratios_left_out` (how many the hardware does not offer) |
/// | `feasible` | candidates that pass the coarse metrics, less those that failed in full |
/// | `judged_in_full`, `failed_in_full` | designs judged in full, and those of them that failed |
/// | `front` | array of the designs on the Pareto front, see below |
/// | `empty` | null if there is a front; else `obstacle`, `broken` (candidates that break each requirement) and `relaxations`: single changes that let a design pass, the cheapest first, each with `key`, `from`, `to`, `factor`, `note` and `design` |
///
/// A design:
///
/// | key | holds |
/// |---|---|
/// | `row` | its number, from 1, for `--toml` |
/// | `tick_hz` | tick rate |
/// | `modulation` | as a channel's in the parameters |
/// | `edge_factor` | factor on rise and fall times |
/// | `operating` | rows of the operating table, as in the parameters |
/// | `edges_hz` | rising and falling edges a second of all channels, at the light that has most |
/// | `cycles_a_tick`, `chip_load` | cycles a tick, estimated; those a second over the chip's clock |
/// | `margin` | the worst figure over its limit; up to 1 |
/// | `over_limit` | the same for each requirement, by identifier |
///
/// JSON has no infinity: a figure that is not finite is null.
#[must_use]
pub fn json(searched: &Searched) -> Value {
    let explored = &searched.explored;
    let (space, description) = (&explored.space, &explored.description);
    json!({
        "schema_version": 1,
        "tool": { "name": PROGRAM, "version": VERSION },
        "input": { "origin": searched.origin, "sha256": searched.input_digest },
        "parameters": parameters(description),
        "searched": {
            "candidates": space.candidates.len(),
            "chip_hz": space.tick_rates.chip_hz,
            "chip_hz_is_assumed": !space.tick_rates.is_stated,
            "tick_hz": space.tick_rates.rates_hz,
            "range_ratios": space.range_ratios,
            "range_ratios_left_out": space.ratios_left_out,
        },
        "feasible": explored.feasible,
        "judged_in_full": explored.judged_in_full,
        "failed_in_full": explored.failed_in_full,
        "front": explored
            .front
            .iter()
            .enumerate()
            .map(|(place, found)| design(searched, place, found))
            .collect::<Vec<_>>(),
        "empty": explored.empty.as_ref().map(empty),
    })
}

fn design(searched: &Searched, place: usize, design: &Design) -> Value {
    let explored = &searched.explored;
    let mut object = candidate(&design.candidate);
    object.insert("row".to_owned(), (place + 1).into());
    let figures = json!({
        "edges_hz": design.edges_hz,
        "cycles_a_tick": design.cycles_a_tick,
        "chip_load": design.chip_load(explored.space.tick_rates.chip_hz),
        "margin": design.margin,
        "over_limit": over_limit(&design.scores),
    });
    object.extend(figures.as_object().cloned().unwrap_or_default());
    Value::Object(object)
}

fn candidate(candidate: &Candidate) -> Map<String, Value> {
    let object = json!({
        "row": null,
        "tick_hz": candidate.tick_hz,
        "modulation": modulation(candidate.modulation),
        "edge_factor": candidate.edge_factor,
        "operating": candidate.rows().iter().map(row).collect::<Vec<_>>(),
    });
    object.as_object().cloned().unwrap_or_default()
}

fn over_limit(scores: &Scores) -> Map<String, Value> {
    let over = REQUIREMENTS
        .iter()
        .map(|(id, _)| ((*id).to_owned(), Value::from(scores.over(id))));
    over.collect()
}

fn empty(empty: &Empty) -> Value {
    let broken = empty
        .broken
        .iter()
        .map(|(id, count)| ((*id).to_owned(), Value::from(*count)));
    json!({
        "obstacle": empty.obstacle.0,
        "broken": broken.collect::<Map<_, _>>(),
        "relaxations": empty
            .relaxations
            .iter()
            .map(relaxation)
            .collect::<Vec<_>>(),
    })
}

fn relaxation(relaxation: &Relaxation) -> Value {
    json!({
        "key": relaxation.key,
        "from": relaxation.from,
        "to": relaxation.to,
        "factor": relaxation.factor,
        "note": relaxation.note,
        "design": candidate(&relaxation.design),
    })
}
