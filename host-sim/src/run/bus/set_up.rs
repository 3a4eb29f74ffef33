//! A control gear as the luminaire's file sets it up: by the frames that would do it.

use milliglow::Light;
use milliglow::bus::iec62386::{Configuration, Gear};

use crate::description::{Bus, ControlGear, Description, GearScene, SceneColour, light};

/// Data register 0, and the colour commands of device type 8 (from memory, as the core has them).
const REGISTER_0: u16 = 0xA300;
const REGISTER_1: u16 = 0xC300;
const COLOUR_NEXT: u16 = 0xC108;
const SET_X: u16 = 0xFFE0;
const SET_Y: u16 = 0xFFE1;
const SET_MIREK: u16 = 0xFFE7;

/// Where no recipes bound it.
const ANY_MIREK: [u16; 2] = [1, 65_534];

/// With everything stored that the file says.
pub(crate) fn configured(description: &Description, bus: &Bus, set: &ControlGear) -> Gear {
    let mut told = fresh(description, bus, set);
    let mut at_ms = 0;
    for frame in set_up(set) {
        at_ms += 20;
        let _ = told.receive(frame, at_ms);
    }
    // What was set up stays; what else the frames did to the gear does not.
    let mut gear = fresh(description, bus, set);
    gear.restore(told.settings());
    gear
}

fn set_up(set: &ControlGear) -> Vec<u16> {
    let short = set.short_address.map(|short| (0x80, short << 1 | 1));
    let single = [
        (0x2A, set.maximum),
        (0x2B, set.minimum),
        (0x2C, set.system_failure_level),
        (0x2D, set.power_on_level),
        (0x2E, set.fade_time),
        (0x2F, set.fade_rate),
        (0x30, set.extended_fade_time),
    ];
    let groups = set.groups.iter().map(|group| (0x60 | group, 0));
    let stored = single.into_iter().chain(groups).chain(short);
    let scenes = set.scenes.iter().flat_map(scene);
    scenes.chain(stored.flat_map(store)).collect()
}

/// A colour that waits goes into the scene that is stored next.
fn scene(scene: &GearScene) -> Vec<u16> {
    let told = match scene.colour {
        None => Vec::new(),
        Some(SceneColour::Mirek(mirek)) => vec![(SET_MIREK, mirek)],
        Some(SceneColour::Chromaticity([x, y])) => vec![(SET_X, raw(x)), (SET_Y, raw(y))],
    };
    let colour = told.into_iter().flat_map(|(command, value)| {
        let [high, low] = value.to_be_bytes().map(u16::from);
        [REGISTER_0 | low, REGISTER_1 | high, COLOUR_NEXT, command]
    });
    colour
        .chain(store((0x40 | scene.number, scene.level)))
        .collect()
}

/// Of a chromaticity, in units of 1 / 65 536, to the nearest; the largest value would ask for no change.
fn raw(part: f64) -> u16 {
    (part * 65_536.0).round().min(65_534.0) as u16
}

/// The value into the register, then the command twice, to all.
fn store((command, value): (u8, u8)) -> [u16; 3] {
    let command = 0xFF00 | u16::from(command);
    [REGISTER_0 | u16::from(value), command, command]
}

/// A gear as it comes: nothing stored.
pub(crate) fn fresh(description: &Description, bus: &Bus, set: &ControlGear) -> Gear {
    let ends = [bus.palette.first(), bus.palette.last()];
    let mirek = match ends {
        [Some(coolest), Some(warmest)] => [coolest.mirek, warmest.mirek],
        _ => ANY_MIREK,
    };
    let lowest = description.requirements.lowest_light;
    let lowest = description.operating.lowest_light.max(lowest);
    Gear::new(&Configuration {
        curve: set.curve,
        lowest: Light::from_bits(light(lowest).to_bits()),
        control_hz: description.control_hz as u16,
        soft_start_tenths: (set.soft_start_s * 10.0).round() as u16,
        mirek,
    })
    .expect("a validated control rate")
}
