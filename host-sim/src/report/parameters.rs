//! All effective parameters of a luminaire, defaults included, as one JSON object.
//!
//! The keys are the ones of [`Description`]; a key says its SI unit, and a key without one is a fraction or a count.

use serde_json::{Value, json};

use super::{bus_parameters, driver_parameters};
use crate::description::{
    Analog, BelowLowest, Camera, Channel, Chip, CurveChoice, Description, Explore, Fade, Knot,
    LevelChoice, Modulation, Operating, OperatingRow, Output, Recipe, Requirements, SetPoints,
    Settling, Spread,
};

pub(crate) fn parameters(description: &Description) -> Value {
    json!({
        "name": description.name,
        "note": description.note,
        "tick_hz": description.tick_hz,
        "tick_tolerance": description.tick_tolerance,
        "control_hz": description.control_hz,
        "full_output_cd_m2": description.full_output_cd_m2,
        "seed": description.seed,
        "curve": curve(description.curve),
        "channels": description.channels.iter().map(channel).collect::<Vec<_>>(),
        "board": {
            "celsius": description.board.celsius,
            "power_cap_w": description.board.power_cap_w,
            "flux_correction": description.board.flux_correction,
        },
        "recipes": description.recipes.iter().map(recipe).collect::<Vec<_>>(),
        "script": description.script.iter().map(|entry| fade(entry, description)).collect::<Vec<_>>(),
        "script_loops": description.script_loops,
        "bus": description.bus.as_ref().map(|bus| bus_parameters::bus(bus, description)),
        "cameras": description.cameras.iter().map(camera).collect::<Vec<_>>(),
        "supply": driver_parameters::supply(description.supply),
        "chip": description.chip.as_ref().map(chip),
        "hardware": {
            "tick_hz_max": description.hardware.tick_hz_max,
            "range_ratio_max": description.hardware.range_ratio_max,
        },
        "operating": operating(&description.operating),
        "explore": explore(&description.explore),
        "spread": spread(&description.spread),
        "analog": analog(&description.analog),
        "requirements": requirements(&description.requirements),
    })
}

fn curve(curve: CurveChoice) -> Value {
    match curve {
        CurveChoice::Exponential { depth, tail_levels } => {
            json!({ "kind": "exponential", "depth": depth, "tail_levels": tail_levels })
        }
        CurveChoice::Lightness => json!({ "kind": "lightness" }),
        CurveChoice::Linear => json!({ "kind": "linear" }),
    }
}

fn channel(channel: &Channel) -> Value {
    json!({
        "name": channel.name,
        "flux_lm": channel.flux_lm,
        "x": channel.x,
        "y": channel.y,
        "power_w": channel.power_w,
        "bin_factor": channel.flux_model.bin_factor,
        "flux_over_temperature": channel.flux_model.knots,
        "thermal_k_per_w": channel.flux_model.thermal_k_per_w,
        "time_constant_s": channel.flux_model.time_constant_s,
        "light_decay": driver_parameters::decay(&channel.light_decay),
        "over_current": driver_parameters::over_current(channel.over_current.as_ref()),
        "modulation": modulation(channel.modulation),
        "driver": driver_parameters::driver(&channel.driver),
        "operating": channel.rows.iter().map(row).collect::<Vec<_>>(),
    })
}

pub(super) fn modulation(modulation: Modulation) -> Value {
    match modulation {
        Modulation::FirstOrder => json!({ "kind": "first_order" }),
        Modulation::Dithered { width_shift } => {
            json!({ "kind": "dithered", "width_shift": width_shift })
        }
        Modulation::SecondOrder => json!({ "kind": "second_order" }),
        Modulation::Timer {
            bits,
            order,
            width_shift,
        } => {
            json!({ "kind": "timer", "bits": bits, "order": order, "width_shift": width_shift })
        }
    }
}

pub(super) fn row(row: &OperatingRow) -> Value {
    json!({
        "from_light": row.from_light,
        "range_ratio": row.range_ratio,
        "current_ratio": row.current_ratio,
        "stretch": row.stretch,
    })
}

fn operating(operating: &Operating) -> Value {
    let set_points = match operating.set_points {
        SetPoints::Own => "own",
        SetPoints::Common => "common",
    };
    let settling = match operating.settling {
        Settling::DarkPause => "dark pause",
        Settling::Booked => "booked",
    };
    let below_lowest = match operating.below_lowest {
        BelowLowest::Hold => "hold",
        BelowLowest::Off => "off",
    };
    json!({
        "set_points": set_points,
        "hysteresis": 0.5_f64.powi(operating.hysteresis_shift.into()),
        "settling_s": operating.settling_s,
        "settling": settling,
        "edge_correction": operating.edge_correction,
        "lowest_light": operating.lowest_light,
        "below_lowest": below_lowest,
    })
}

fn explore(explore: &Explore) -> Value {
    json!({
        "chip_hz": explore.chip_hz,
        "tick_hz_min": explore.tick_hz_min,
        "tick_hz_max": explore.tick_hz_max,
        "orders": explore.orders,
        "dither_shifts": explore.dither_shifts,
        "timer_bits": explore.timer_bits,
        "stretches": explore.stretches,
        "stretch_from_percent": explore.stretch_from_percent,
        "range_ratios": explore.range_ratios,
        "lower_range_below_percent": explore.lower_range_below_percent,
        "edge_factors": explore.edge_factors,
    })
}

fn chip(chip: &Chip) -> Value {
    let output = match chip.output {
        Output::Port => "port",
        Output::Shift => "shift",
        Output::Timer => "timer",
    };
    json!({
        "clock_hz": chip.clock_hz,
        "wait_states": chip.wait_states,
        "multiply_cycles": chip.multiply_cycles,
        "ram_bytes": chip.ram_bytes,
        "output": output,
        "outputs": chip.outputs,
        "dma_cycles": chip.dma_cycles,
        "interrupt_latency_s": chip.interrupt_latency_s,
        "buffer_words": chip.buffer_words,
        "cpu_share": chip.cpu_share,
        "bus_share": chip.bus_share,
    })
}

fn recipe(recipe: &Recipe) -> Value {
    let knot = |knot: &Knot| json!({ "level": knot.level, "shares": knot.shares });
    let knots: Vec<_> = recipe.knots.iter().map(knot).collect();
    json!({ "name": recipe.name, "shares": recipe.shares, "knots": knots })
}

fn fade(fade: &Fade, description: &Description) -> Value {
    let recipe = &description.recipes[fade.recipe].name;
    let (level, light) = match fade.level {
        LevelChoice::Level(level) => (Some(level), None),
        LevelChoice::Light(light) => (None, Some(light)),
    };
    json!({
        "recipe": recipe,
        "level": level,
        "light": light,
        "seconds": fade.seconds,
        "through": fade.through,
    })
}

fn camera(camera: &Camera) -> Value {
    json!({
        "name": camera.name,
        "frame_hz": camera.frame_hz,
        "rows": camera.rows,
        "line_s": camera.line_s,
        "exposure_s": camera.exposure_s,
        "lights": camera.lights,
        "contrast": camera.contrast,
    })
}

fn spread(spread: &Spread) -> Value {
    json!({
        "rise": spread.rise,
        "fall": spread.fall,
        "delay": spread.delay,
        "range_ratio": spread.range_ratio,
        "flux": spread.flux,
        "chromaticity_uv": spread.chromaticity_uv,
    })
}

fn analog(analog: &Analog) -> Value {
    json!({
        "offset": analog.offset,
        "gain": analog.gain,
        "sense": analog.sense,
        "x_a_decade": analog.x_a_decade,
        "y_a_decade": analog.y_a_decade,
    })
}

fn requirements(requirements: &Requirements) -> Value {
    json!({
        "lowest_light": requirements.lowest_light,
        "average_error": requirements.average_error,
        "light_step": requirements.light_step,
        "range_step": requirements.range_step,
        "edge_light": requirements.edge_light,
        "colour_shift": requirements.colour_shift,
        "dark_gap_s": requirements.dark_gap_s,
        "pulse_hz": requirements.pulse_hz,
        "svm": requirements.svm,
        "pst_lm": requirements.pst_lm,
        "no_effect_margin": requirements.no_effect_margin,
        "seizure": requirements.seizure,
        "visibility": requirements.visibility,
        "step_jnd": requirements.step_jnd,
    })
}
