//! The effective parameters of a bus; its frames are counted, not listed.

use serde_json::{Value, json};

use crate::description::{
    Bus, BusKind, ControlGear, Description, GearScene, Prepared, Receiver, SceneColour, Slot,
    SlotRole,
};
use milliglow::curve::ControlCurve;

pub(super) fn bus(bus: &Bus, description: &Description) -> Value {
    let recipe = |index: usize| description.recipes[index].name.as_str();
    let prepared =
        |prepared: &Prepared| json!({ "mirek": prepared.mirek, "recipe": recipe(prepared.recipe) });
    json!({
        "log": bus.log,
        "frames": bus.frames.len(),
        "seconds": bus.seconds,
        "recipe": recipe(bus.recipe),
        "dead_time_s": bus.dead_time_s,
        "palette": bus.palette.iter().map(prepared).collect::<Vec<_>>(),
        "kind": match &bus.kind {
            BusKind::Iec62386(gear) => control_gear(gear),
            BusKind::Dmx512(set) => receiver(set, description),
        },
    })
}

fn control_gear(gear: &ControlGear) -> Value {
    json!({
        "kind": "iec62386",
        "curve": match gear.curve {
            ControlCurve::Logarithmic => "logarithmic",
            ControlCurve::Linear => "linear",
        },
        "short_address": gear.short_address,
        "groups": gear.groups,
        "minimum": gear.minimum,
        "maximum": gear.maximum,
        "power_on_level": gear.power_on_level,
        "system_failure_level": gear.system_failure_level,
        "fade_time": gear.fade_time,
        "fade_rate": gear.fade_rate,
        "extended_fade_time": gear.extended_fade_time,
        "soft_start_s": gear.soft_start_s,
        "scenes": gear.scenes.iter().copied().map(scene).collect::<Vec<_>>(),
    })
}

fn scene(scene: GearScene) -> Value {
    let (mirek, xy) = match scene.colour {
        Some(SceneColour::Mirek(mirek)) => (Some(mirek), None),
        Some(SceneColour::Chromaticity(xy)) => (None, Some(xy)),
        None => (None, None),
    };
    json!({ "number": scene.number, "level": scene.level, "mirek": mirek, "xy": xy })
}

fn receiver(receiver: &Receiver, description: &Description) -> Value {
    let slot = |slot: &Slot| {
        json!({
            "slot": slot.slot,
            "bits": if slot.is_fine { 16 } else { 8 },
            "role": match slot.role {
                SlotRole::Level => "level",
                SlotRole::Mirek => "mirek",
                SlotRole::X => "x",
                SlotRole::Y => "y",
                SlotRole::Channel(channel) => &description.channels[channel].name,
            },
            "start": slot.start,
            "loss": slot.loss,
        })
    };
    json!({
        "kind": "dmx512",
        "creep_ms": receiver.creep_ms,
        "loss_ms": receiver.loss_ms,
        "loss_fade_s": receiver.loss_fade_s,
        "slots": receiver.slots.iter().map(slot).collect::<Vec<_>>(),
    })
}
