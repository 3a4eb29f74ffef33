//! Writes gated buck converters and the charge of each of their ticks to standard output as JSON, for
//! tests/peers/buck_scipy.py.

use milliglow::density::{Density, FirstOrder};
use milliglow_sim::optics::drivers::{Buck, BuckFigures, Driver, Gated};
use serde_json::{Value, json};

const TICKS: usize = 240;

/// 24 V to three LEDs with resistance; figures invented.
const PLAIN: BuckFigures = BuckFigures {
    supply_v: 24.0,
    string_v: 9.6,
    string_ohm: 2.0,
    diode_v: 0.4,
    inductance_h: 47e-6,
    output_f: 0.0,
    set_a: 0.5,
    off_time_s: 2e-6,
    delay_s: 100e-9,
};

fn bucks() -> [(&'static str, BuckFigures, f64, f64); 8] {
    let runs_out = BuckFigures {
        off_time_s: 7e-6,
        ..PLAIN
    };
    let capacitor = |output_f, figures| BuckFigures {
        output_f,
        ..figures
    };
    let little = BuckFigures {
        inductance_h: 4.7e-6,
        off_time_s: 0.5e-6,
        delay_s: 30e-9,
        ..PLAIN
    };
    [
        ("continuous", PLAIN, 1.0, 1e-6),
        ("continuous, gated", PLAIN, 0.3, 5e-6),
        ("discontinuous", runs_out, 1.0, 1e-6),
        ("discontinuous, gated", runs_out, 0.6, 3e-6),
        ("capacitor", capacitor(1e-6, PLAIN), 1.0, 1e-6),
        ("capacitor, gated", capacitor(1e-6, PLAIN), 0.3, 5e-6),
        (
            "capacitor, discontinuous",
            capacitor(4.7e-6, runs_out),
            0.7,
            4e-6,
        ),
        (
            "small capacitor, gated",
            capacitor(47e-9, little),
            0.4,
            1e-6,
        ),
    ]
}

fn followed((name, figures, density, tick_s): (&str, BuckFigures, f64, f64)) -> Value {
    let buck = Buck::new(figures).expect("possible figures");
    let full_a = buck.design().mean_a;
    let mut gated =
        Gated::new(&Driver::Buck(buck), tick_s, 1).expect("a tick of a microsecond or more");
    let density = Density::from_bits((density * 4_294_967_296.0_f64).min(4_294_967_295.0) as u32);
    let mut modulator = FirstOrder::new(1 << 31);
    let (mut bits, mut light, mut drawn) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..TICKS {
        let on = modulator.next_bit(density);
        bits.push(on);
        light.push(gated.tick(on) * tick_s * full_a);
        drawn.push(gated.drawn() * tick_s * full_a);
    }
    json!({
        "name": name, "tick_s": tick_s, "bits": bits, "full_a": full_a,
        "figures": {
            "supply_v": figures.supply_v, "string_v": figures.string_v, "string_ohm": figures.string_ohm,
            "diode_v": figures.diode_v, "inductance_h": figures.inductance_h, "output_f": figures.output_f,
            "set_a": figures.set_a, "off_time_s": figures.off_time_s, "delay_s": figures.delay_s,
        },
        "found": { "light_as": light, "drawn_as": drawn },
    })
}

fn main() {
    let bucks: Vec<Value> = bucks().into_iter().map(followed).collect();
    println!("{}", json!({ "bucks": bucks }));
}
