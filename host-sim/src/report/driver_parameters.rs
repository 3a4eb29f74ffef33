//! The effective parameters of a channel's driver, of its LEDs and of the supply, in SI units.

use serde_json::{Value, json};

use crate::optics::drivers::{
    BuckFigures, Driver, ExponentialFigures, LightDecay, OverCurrent, ShuntFigures, SlewFigures,
    Supply,
};

pub(super) fn driver(driver: &Driver) -> Value {
    match driver {
        Driver::Ideal => json!({ "kind": "ideal" }),
        Driver::Slew(slew) => of_slew(slew.figures()),
        Driver::Exponential(edges) => of_exponential(edges.figures()),
        Driver::Buck(buck) => of_buck(buck.figures()),
        Driver::Shunt(shunt) => of_shunt(shunt.figures()),
    }
}

fn of_slew(figures: SlewFigures) -> Value {
    json!({
        "kind": "slew",
        "rise_s": figures.rise_s,
        "fall_s": figures.fall_s,
        "turn_on_delay_s": figures.turn_on_delay_s,
        "turn_off_delay_s": figures.turn_off_delay_s,
        "turn_on_charge_s": figures.turn_on_charge_s,
        "line_sensitivity": figures.line_sensitivity,
    })
}

fn of_exponential(figures: ExponentialFigures) -> Value {
    json!({
        "kind": "exponential",
        "rise_constant_s": figures.rise_constant_s,
        "fall_constant_s": figures.fall_constant_s,
        "turn_on_delay_s": figures.turn_on_delay_s,
        "turn_off_delay_s": figures.turn_off_delay_s,
        "line_sensitivity": figures.line_sensitivity,
    })
}

fn of_buck(figures: BuckFigures) -> Value {
    json!({
        "kind": "buck",
        "supply_v": figures.supply_v,
        "string_v": figures.string_v,
        "string_ohm": figures.string_ohm,
        "diode_v": figures.diode_v,
        "inductance_h": figures.inductance_h,
        "output_f": figures.output_f,
        "peak_set_point_a": figures.set_a,
        "off_time_s": figures.off_time_s,
        "comparator_delay_s": figures.delay_s,
    })
}

fn of_shunt(figures: ShuntFigures) -> Value {
    json!({
        "kind": "shunt",
        "rise_s": figures.rise_s,
        "fall_s": figures.fall_s,
        "turn_on_delay_s": figures.turn_on_delay_s,
        "turn_off_delay_s": figures.turn_off_delay_s,
        "sag": figures.sag,
        "recovery_s": figures.recovery_s,
        "line_sensitivity": figures.line_sensitivity,
    })
}

/// Empty where all light is prompt.
pub(super) fn decay(decay: &LightDecay) -> Value {
    let decays = decay
        .decays()
        .map(|decay| json!({ "part": decay.part, "constant_s": decay.constant_s }));
    decays.collect()
}

/// The knots, that at full current included; null where light is in proportion to the current.
pub(super) fn over_current(table: Option<&OverCurrent>) -> Value {
    let knots = |table: &OverCurrent| {
        let knots = table.knots().iter().map(|knot| {
            json!({
                "current": knot.current,
                "efficacy": knot.efficacy,
                "x": knot.xy.x,
                "y": knot.xy.y,
            })
        });
        knots.collect::<Value>()
    };
    table.map_or(Value::Null, knots)
}

/// Null for what the supply does not do.
pub(super) fn supply(supply: Supply) -> Value {
    let figures = supply.figures();
    json!({
        "ripple": figures.ripple.map(|ripple| json!({ "hz": ripple.hz, "depth": ripple.depth })),
        "burst": figures.burst.map(|burst| json!({
            "below_load": burst.below_load,
            "hz": burst.hz,
            "depth": burst.depth,
        })),
    })
}
