//! A luminaire on a bus: the schema accepts and refuses what the reader does, key by key.

use crate::LEAST;
use crate::schema::{BOUNDS, Path, disagreement_about, paths, validator, value_at};
use milliglow_sim::description::parse;
use milliglow_tests::cases::cases;
use proptest::prelude::*;
use toml::{Table, Value};

const GEAR: &str = "
[bus]
kind = \"iec62386\"
frames = [\"0.5, FEFE\", \"1.0, down\"]
seconds = 4.0
recipe = \"evening\"
dead_time_ms = 50.0
colours = [{ mirek = 250, recipe = \"evening\" }]
short_address = 5
groups = [2, 3]
minimum = 100
maximum = 200
power_on_level = 0
system_failure_level = 0
fade_time = 4
fade_rate = 3
extended_fade_time = 20
soft_start_s = 1.0
scenes = [{ number = 13, level = 85, mirek = 250 }, { number = 14, level = 90, x = 0.5, y = 0.4 }]
";

const SLOTS: &str = "
[bus]
kind = \"dmx512\"
frames = [\"0.5, 00112233\"]
seconds = 4.0
recipe = \"evening\"
dead_time_ms = 50.0
colours = [{ mirek = 250, recipe = \"evening\" }]
slots = [{ slot = 1, bits = 16, role = \"level\", start_percent = 3.0, loss_percent = 5.0 }, { slot = 3, role = \"red\" }]
creep_ms = 300
loss_ms = 2_000
loss_fade_s = 3.0
";

fn documents() -> [String; 2] {
    let curved = LEAST.replace("depth = 1_000", "depth = 1_000\ntail_levels = 8");
    assert_ne!(curved, LEAST);
    [GEAR, SLOTS].map(|bus| curved.clone() + bus)
}

fn keys(text: &str) -> Vec<Path> {
    let mut found = Vec::new();
    let document = Value::Table(toml::from_str(text).unwrap());
    paths(&document, &Path::new(), &mut found);
    found.retain(|path| path[0] == "bus" && path.len() > 1);
    assert!(found.len() >= 15);
    found
}

#[test]
fn each_key_left_out_or_unknown() {
    for text in documents() {
        parse(&text, "bus.toml").unwrap_or_else(|problem| panic!("{problem}"));
        for path in keys(&text) {
            let (name, table) = path.split_last().unwrap();
            let what = path.join(".");
            let found = disagreement_about(&text, &validator(), &what, |root| {
                let table = value_at(root, table).as_table_mut().unwrap();
                table.remove(name).unwrap();
            });
            assert_eq!(found, None);
            let found = disagreement_about(&text, &validator(), &what, |root| {
                let table = value_at(root, table).as_table_mut().unwrap();
                table.insert("sparkle".to_owned(), "much".into());
            });
            assert_eq!(found, None);
        }
    }
}

#[test]
fn values_of_a_wrong_type_and_numbers_at_their_bounds() {
    let validator = validator();
    let wrong: [Value; 4] = [
        true.into(),
        (-1).into(),
        Value::Array(vec![]),
        Value::Table(Table::new()),
    ];
    let bounds = [
        8.0, 15.0, 16.0, 20.0, 19.0, 59.0, 60.0, 61.0, 63.0, 64.0, 79.0, 80.0, 254.0, 255.0, 256.0,
        511.0, 512.0, 513.0, 1_200.0, 1_201.0, 2_000.0, 2_001.0, 6_000.0, 6_001.0, 60_000.0,
        60_001.0, 65_534.0,
    ];
    let numbers = BOUNDS.into_iter().chain(bounds).map(|bound| {
        if bound.fract() == 0.0 {
            Value::Integer(bound as i64)
        } else {
            Value::Float(bound)
        }
    });
    let numbers: Vec<_> = numbers.collect();
    for text in documents() {
        for path in keys(&text) {
            let mut document = Value::Table(toml::from_str(&text).unwrap());
            let is_number = {
                let value = value_at(&mut document, &path);
                value.is_integer() || value.is_float()
            };
            // What a packet reaches is beyond a schema.
            let tried = if is_number && path.last().is_some_and(|key| key != "slot") {
                [&wrong[..], &numbers].concat()
            } else {
                wrong.to_vec()
            };
            for value in tried {
                // Left empty, both are as good as not written.
                let is_empty = value.as_array().is_some_and(Vec::is_empty);
                if is_empty && ["colours", "scenes"].contains(&path[path.len() - 1].as_str()) {
                    continue;
                }
                let what = format!("{} = {value}", path.join("."));
                let found = disagreement_about(&text, &validator, &what, |root| {
                    *value_at(root, &path) = value;
                });
                assert_eq!(found, None);
            }
        }
    }
}

/// What must fit together, and what must not.
#[test]
fn with_the_rest_of_the_file() {
    let changes = [
        ("control_hz = 1_000", "control_hz = 99"),
        ("control_hz = 1_000", "control_hz = 10_001"),
        ("control_hz = 1_000", "control_hz = 100"),
        ("tail_levels = 8", "tail_levels = 9"),
        ("\ntail_levels = 8", ""),
        ("depth = 1_000", "depth = 999"),
        (
            "kind = \"exponential\"\ndepth = 1_000\ntail_levels = 8",
            "kind = \"linear\"",
        ),
        (
            "kind = \"exponential\"\ndepth = 1_000\ntail_levels = 8",
            "kind = \"lightness\"",
        ),
        (
            "[bus]",
            "[[script]]\nrecipe = \"evening\"\nlevel = 1\nseconds = 1\n[bus]",
        ),
        ("seconds = 4.0", "seconds = 4.0\nlog = \"nowhere.log\""),
        ("kind = \"iec62386\"", "kind = \"dmx512\""),
        ("kind = \"dmx512\"", "kind = \"iec62386\""),
        ("bits = 16", "bits = 12"),
        ("slot = 1, bits = 16", "slot = 1, bits = 8"),
        ("x = 0.5, y = 0.4", "mirek = 250, x = 0.5, y = 0.4"),
        ("x = 0.5, y = 0.4", "x = 0.5"),
        ("x = 0.5, y = 0.4", "y = 0.4"),
        ("x = 0.5, y = 0.4", "mirek = 250, y = 0.4"),
        ("x = 0.5, y = 0.4", "x = 0.0, y = 1.0"),
    ];
    for text in documents() {
        for (from, to) in changes {
            let changed = text.replacen(from, to, 1);
            let found = disagreement_about(&changed, &validator(), to, |_| ());
            assert_eq!(found, None);
        }
    }
}

proptest! {
    #![proptest_config(cases())]

    /// Any line is a frame or refused; none is taken for another.
    #[test]
    fn any_line(line in "[0-9a-fA-F ,.#down-]{0,20}", first in 0_u32..1_000_000) {
        let [gear, _] = documents();
        let before = f64::from(first) / 1e6;
        let lines = format!("frames = [\"{before:.6}, FE80\", {line:?}]");
        let text = gear.replacen("frames = [\"0.5, FEFE\", \"1.0, down\"]", &lines, 1);
        if let Ok(description) = parse(&text, "bus.toml") {
            let bus = description.bus.unwrap();
            let [early, late] = &bus.frames[..] else { panic!("two frames") };
            prop_assert!(early.at_us == u64::from(first) && late.at_us >= early.at_us);
            prop_assert!(late.bytes.len() == 2 || line.contains("down"));
        }
    }
}
