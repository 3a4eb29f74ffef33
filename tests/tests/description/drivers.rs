//! The drivers of the channels: every kind, what is refused, and the schema beside it.

use crate::LEAST;
use crate::schema::{as_json, validator};
use milliglow_sim::description::parse;
use milliglow_sim::optics::drivers::{
    Buck, BuckFigures, Driver, Exponential, ExponentialFigures, Shunt, ShuntFigures,
};

/// The least file, its first channel with a driver.
fn with(driver: &str) -> String {
    LEAST.replacen(
        "y = 0.3045",
        &format!("y = 0.3045\ndriver = {{ {driver} }}"),
        1,
    )
}

fn read(driver: &str) -> Driver {
    parse(&with(driver), "my.toml").unwrap().channels[0].driver
}

const BUCK: &str = "kind = \"buck\", supply_v = 24, string_v = 9.6, string_ohm = 2, diode_v = 0.4, inductance_uh = 47, \
                    output_nf = 100, peak_set_point_a = 0.5, off_time_ns = 2_000, comparator_delay_ns = 100";

#[test]
fn every_kind_arrives_in_si_units() {
    let exponential = ExponentialFigures {
        rise_constant_s: 50e-9,
        fall_constant_s: 30e-9,
        turn_on_delay_s: 10e-9,
        turn_off_delay_s: 20e-9,
        line_sensitivity: -0.5,
    };
    let text = "kind = \"exponential\", rise_constant_ns = 50, fall_constant_ns = 30, turn_on_delay_ns = 10, \
                turn_off_delay_ns = 20, line_sensitivity = -0.5";
    assert_eq!(
        read(text),
        Driver::Exponential(Exponential::new(exponential).unwrap())
    );
    let shunt = ShuntFigures {
        rise_s: 40e-9,
        fall_s: 20e-9,
        turn_on_delay_s: 10e-9,
        turn_off_delay_s: 5e-9,
        sag: 0.05,
        recovery_s: 3e-6,
        line_sensitivity: 0.1,
    };
    let text = "kind = \"shunt\", rise_ns = 40, fall_ns = 20, turn_on_delay_ns = 10, turn_off_delay_ns = 5, \
                sag_percent = 5, recovery_ns = 3_000, line_sensitivity = 0.1";
    assert_eq!(read(text), Driver::Shunt(Shunt::new(shunt).unwrap()));
    let buck = BuckFigures {
        supply_v: 24.0,
        string_v: 9.6,
        string_ohm: 2.0,
        diode_v: 0.4,
        inductance_h: 47e-6,
        output_f: 100e-9,
        set_a: 0.5,
        off_time_s: 2e-6,
        delay_s: 100e-9,
    };
    assert_eq!(read(BUCK), Driver::Buck(Buck::new(buck).unwrap()));
    assert_eq!(read("kind = \"ideal\""), Driver::Ideal);
}

/// A driver, the title, the key, and what is allowed.
const REFUSED: [(&str, &str, &str, &str); 8] = [
    (
        "kind = \"relay\"",
        "the value of `kind` is not allowed",
        "kind",
        "\"ideal\", \"slew\", \"exponential\", \"buck\", \"shunt\"",
    ),
    (
        "rise_ns = 5",
        "missing key `kind`",
        "kind",
        "\"ideal\", \"slew\", \"exponential\", \"buck\", \"shunt\"",
    ),
    (
        "kind = \"ideal\", rise_ns = 5",
        "unknown key `rise_ns`",
        "rise_ns",
        "kind",
    ),
    (
        "kind = \"slew\", rise_ns = -5",
        "the value of `rise_ns` is not allowed",
        "rise_ns",
        "a number, 0 to 1_000_000 ns",
    ),
    (
        "kind = \"slew\", fall_ns = nan",
        "the value of `fall_ns` is not allowed",
        "fall_ns",
        "a number, 0 to 1_000_000 ns",
    ),
    (
        "kind = \"slew\", turn_on_delay_ns = inf",
        "the value of `turn_on_delay_ns` is not allowed",
        "turn_on_delay_ns",
        "a number, 0 to 1_000_000 ns",
    ),
    (
        "kind = \"shunt\", recovery_ns = 0",
        "the value of `recovery_ns` is not allowed",
        "recovery_ns",
        "a number above 0, at most 1_000_000 ns",
    ),
    (
        "kind = \"buck\"",
        "missing key `supply_v`",
        "supply_v",
        "a number above 0, at most 1_000 V",
    ),
];

/// The same for changes of the buck.
const IMPOSSIBLE: [(&str, &str, &str, &str, &str); 5] = [
    (
        "string_v = 9.6",
        "string_v = 24",
        "the string takes 24 V of a supply of 24 V",
        "string_v",
        "below 24 V",
    ),
    (
        "off_time_ns = 2_000",
        "off_time_ns = 90",
        "the off-time of 90 ns is below the comparator delay of 100 ns",
        "off_time_ns",
        "at least 100 ns",
    ),
    (
        "string_v = 9.6",
        "string_v = 1.0",
        "the comparator delay adds",
        "off_time_ns",
        "an off-time that takes more than the delay adds",
    ),
    (
        "string_ohm = 2",
        "string_ohm = 0",
        "an output capacitor needs a string with resistance",
        "string_ohm",
        "a resistance above 0, or no capacitor",
    ),
    (
        "string_ohm = 2",
        "string_ohm = 20",
        "the string resistance of 20.0 is not possible",
        "string_ohm",
        "0.0 to 19.2",
    ),
];

fn assert_refused(driver: &str, title: &str, key: &str, allowed: &str) {
    let text = with(driver);
    let problem = parse(&text, "my.toml").unwrap_err();
    assert!(problem.title().starts_with(title), "{problem}");
    assert_eq!(
        problem.key(),
        Some(&*format!("channels.driver.{key}")),
        "{problem}"
    );
    assert_eq!(problem.allowed_text(), Some(allowed), "{problem}");
    let line = text
        .lines()
        .position(|line| line.starts_with("driver"))
        .unwrap()
        + 1;
    assert_eq!(problem.line(), Some(line), "{problem}");
    assert!(problem.render(false).contains("my.toml:"), "{problem}");
}

#[test]
fn what_cannot_be_is_refused_at_its_key() {
    for (driver, title, key, allowed) in REFUSED {
        assert_refused(driver, title, key, allowed);
    }
    for (from, to, title, key, allowed) in IMPOSSIBLE {
        // Late enough that the current gets away from a string of little voltage.
        let buck = BUCK
            .replacen(from, to, 1)
            .replace("diode_v = 0.4", "diode_v = 0.0");
        let runs_away = title.starts_with("the comparator");
        let buck = if runs_away {
            buck.replace("off_time_ns = 2_000", "off_time_ns = 500")
                .replace("string_ohm = 2", "string_ohm = 0.1")
        } else {
            buck
        };
        assert_refused(&buck, title, key, allowed);
    }
    let problem = parse(
        &LEAST.replacen("y = 0.3045", "y = 0.3045\ndriver = \"slew\"", 1),
        "my.toml",
    )
    .unwrap_err();
    assert_eq!(
        (problem.title(), problem.allowed_text()),
        ("`driver` cannot be a string", Some("a table"))
    );
}

/// Each key of each kind left out, moved beyond its range, or misspelt: the schema and the reader agree.
#[test]
fn the_schema_agrees() {
    let validator = validator();
    let agree = |driver: &str| {
        let text = with(driver);
        let (read, valid) = (parse(&text, "my.toml"), validator.is_valid(&as_json(&text)));
        assert_eq!(read.is_ok(), valid, "{driver}: {read:?}");
    };
    let kinds = [
        BUCK,
        "kind = \"exponential\", rise_constant_ns = 5, fall_constant_ns = 3, turn_on_delay_ns = 1, turn_off_delay_ns = 2, line_sensitivity = 1",
        "kind = \"shunt\", rise_ns = 4, fall_ns = 2, turn_on_delay_ns = 1, turn_off_delay_ns = 5, sag_percent = 5, recovery_ns = 3, line_sensitivity = 1",
        "kind = \"slew\", rise_ns = 4, fall_ns = 2, turn_on_charge_ns = 5",
        "kind = \"ideal\"",
    ];
    for kind in kinds {
        agree(kind);
        let entries: Vec<&str> = kind.split(", ").collect();
        for changed in 0..entries.len() {
            let name = entries[changed].split(' ').next().unwrap();
            for value in ["-11", "1e9", "\"much\"", "true"] {
                let mut entries = entries.clone();
                let entry = format!("{name} = {value}");
                entries[changed] = &entry;
                agree(&entries.join(", "));
            }
            let mut fewer = entries.clone();
            fewer.remove(changed);
            // Without resistance the capacitor is refused, which no schema can say.
            if name != "string_ohm" {
                agree(&fewer.join(", "));
            }
            agree(&kind.replacen(name, "sparkle", 1));
        }
    }
}
