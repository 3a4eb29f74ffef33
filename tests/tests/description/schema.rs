//! The published schema accepts and refuses what the reader does, but for what a schema cannot say.

use crate::{FULL, LEAST};
use jsonschema::Validator;
use milliglow_sim::description::parse;
use toml::{Table, Value};

const SCHEMA: &str = include_str!("../../../host-sim/luminaire.schema.json");

pub(crate) fn schema() -> serde_json::Value {
    serde_json::from_str(SCHEMA).unwrap()
}

pub(crate) fn validator() -> Validator {
    jsonschema::draft202012::new(&schema()).unwrap()
}

pub(crate) fn as_json(text: &str) -> serde_json::Value {
    serde_json::to_value(toml::from_str::<Table>(text).unwrap()).unwrap()
}

/// A key of the document: the way to it, array elements by their index.
pub(crate) type Path = Vec<String>;

pub(crate) fn paths(value: &Value, here: &Path, found: &mut Vec<Path>) {
    let below = |name: String| [here.as_slice(), &[name]].concat();
    match value {
        Value::Table(table) => {
            for (name, value) in table {
                found.push(below(name.clone()));
                paths(value, &below(name.clone()), found);
            }
        }
        Value::Array(array) => {
            for (index, value) in array.iter().enumerate() {
                paths(value, &below(index.to_string()), found);
            }
        }
        _ => {}
    }
}

fn keys_of_full() -> Vec<Path> {
    let mut found = Vec::new();
    paths(
        &Value::Table(toml::from_str(FULL).unwrap()),
        &Path::new(),
        &mut found,
    );
    assert!(found.len() > 40);
    found
}

pub(crate) fn value_at<'a>(root: &'a mut Value, path: &[String]) -> &'a mut Value {
    path.iter()
        .fold(root, |value, name| match name.parse::<usize>() {
            Ok(index) => &mut value[index],
            Err(_) => &mut value[name.as_str()],
        })
}

/// Changes the full file and says what disagrees: nothing, or the change with the reader's opinion.
fn disagreement(
    validator: &Validator,
    what: &str,
    change: impl FnOnce(&mut Value),
) -> Option<String> {
    disagreement_about(FULL, validator, what, change)
}

/// The same of another file.
pub(crate) fn disagreement_about(
    text: &str,
    validator: &Validator,
    what: &str,
    change: impl FnOnce(&mut Value),
) -> Option<String> {
    let mut document = Value::Table(toml::from_str(text).unwrap());
    change(&mut document);
    let text = toml::to_string(&document).unwrap();
    let read = parse(&text, "changed.toml");
    let valid = validator.is_valid(&as_json(&text));
    let reader = read.map_or_else(
        |problem| problem.title().to_owned(),
        |_| "accepted".to_owned(),
    );
    ((reader == "accepted") != valid).then(|| format!("{what}: {reader}"))
}

#[test]
fn deleted_keys() {
    let validator = validator();
    let delete = |path: Path| {
        let (name, table) = path.split_last().unwrap();
        disagreement(&validator, &path.join("."), |root| {
            value_at(root, table)
                .as_table_mut()
                .unwrap()
                .remove(name)
                .unwrap();
        })
    };
    let found: Vec<String> = keys_of_full().into_iter().filter_map(delete).collect();
    // What one key means for another is beyond a schema.
    let beyond = [
        "operating.rows.0.range_ratio: two rows of one set point have two currents",
        "recipes.evening: unknown recipe `evening`",
    ];
    assert_eq!(found, beyond);
}

#[test]
fn values_of_a_wrong_type() {
    let validator = validator();
    let wrong: [Value; 4] = [
        true.into(),
        (-1).into(),
        Value::Array(vec![]),
        Value::Table(Table::new()),
    ];
    for path in keys_of_full() {
        for value in wrong
            .iter()
            .cloned()
            .chain([Value::Float(f64::NAN), Value::Float(1e12)])
        {
            let what = format!("{} = {value}", path.join("."));
            let found = disagreement(&validator, &what, |root| *value_at(root, &path) = value);
            assert_eq!(found, None);
        }
    }
}

#[test]
fn numbers_as_text() {
    let validator = validator();
    for path in keys_of_full() {
        let mut full = Value::Table(toml::from_str(FULL).unwrap());
        if !value_at(&mut full, &path).is_str() {
            let found = disagreement(&validator, &path.join("."), |root| {
                *value_at(root, &path) = "1".into();
            });
            assert_eq!(found, None);
        }
    }
}

#[test]
fn unknown_keys() {
    let validator = validator();
    for path in keys_of_full() {
        let mut tables = vec![&path[..path.len() - 1]];
        tables.push(&path);
        for table in tables {
            let found = disagreement(&validator, &table.join("."), |root| {
                if let Value::Table(table) = value_at(root, table) {
                    table.insert("sparkle".to_owned(), "much".into());
                }
            });
            assert_eq!(found, None);
        }
    }
}

/// Every bound of the format, and numbers just beyond.
pub(crate) const BOUNDS: [f64; 41] = [
    0.0,
    1e-9,
    0.00099,
    0.001,
    0.003_906_25,
    0.0039,
    0.1,
    0.1001,
    0.5,
    0.75,
    1.0,
    1.001,
    2.0,
    3.0,
    9.0,
    10.0,
    10.001,
    11.0,
    20.0,
    20.001,
    50.0,
    50.001,
    100.0,
    100.001,
    999.0,
    1000.0,
    4096.0,
    4097.0,
    10_000.0,
    10_000.001,
    65_535.0,
    65_536.0,
    86_400.0,
    86_400.001,
    100_000.0,
    100_001.0,
    1e6,
    1_000_000.001,
    1e8,
    100_000_001.0,
    4_294_967_295.0,
];

/// Keys whose values must fit others in ways that are beyond a schema: the tick rate, what rows reach, the length of a decision, the channels' power, light
/// that rises with the current, the locus of real light.
const BEYOND: [&str; 13] = [
    "tick_hz_max",
    "from_light_percent",
    "range_ratio",
    "current_ratio",
    "current_percent",
    "efficacy_percent",
    "x",
    "y",
    "settling_us",
    "rise_ns",
    "turn_on_delay_ns",
    "power_cap_w",
    "power_w",
];

#[test]
fn numbers_at_and_beyond_their_bounds() {
    let validator = validator();
    for path in keys_of_full() {
        let mut full = Value::Table(toml::from_str(FULL).unwrap());
        let value = value_at(&mut full, &path);
        // So is how many control steps a fade through recipes needs.
        if !(value.is_integer() || value.is_float())
            || path.join(".") == "script.1.seconds"
            || path
                .last()
                .is_some_and(|key| BEYOND.contains(&key.as_str()))
        {
            continue;
        }
        for bound in BOUNDS.into_iter().chain([4_294_967_296.0]) {
            let whole = bound.fract() == 0.0;
            let value = if whole {
                Value::Integer(bound as i64)
            } else {
                Value::Float(bound)
            };
            let what = format!("{} = {value}", path.join("."));
            let found = disagreement(&validator, &what, |root| {
                *value_at(root, &path) = value;
                // The longest fade leaves no time for another one.
                if path.join(".") == "script.0.seconds" {
                    root["script"].as_array_mut().unwrap().truncate(1);
                }
            });
            assert_eq!(found, None);
        }
    }
}

/// Changes of two keys at once, and texts at their limits.
const CHANGES: [(&str, &str); 27] = [
    (
        "order = 1\ndither_steps = 0.5\ntimer_bits = 0",
        "order = 0\ntimer_bits = 12",
    ),
    (
        "order = 1\ndither_steps = 0.5\ntimer_bits = 0",
        "order = 0\ndither_steps = 0.5",
    ),
    (
        "order = 1\ndither_steps = 0.5\ntimer_bits = 0",
        "order = 2\ntimer_bits = 12",
    ),
    (
        "order = 1\ndither_steps = 0.5\ntimer_bits = 0",
        "order = 2\ndither_steps = 0.5\ntimer_bits = 12",
    ),
    (
        "order = 1\ndither_steps = 0.25\ntimer_bits = 0",
        "order = 2\ndither_steps = 0.25\ntimer_bits = 9",
    ),
    (
        "order = 1\ndither_steps = 0.25\ntimer_bits = 0",
        "order = 0\ntimer_bits = 9",
    ),
    (
        "order = 1\ndither_steps = 0.25\ntimer_bits = 0",
        "order = 0\ntimer_bits = 0",
    ),
    (
        "order = 1\ndither_steps = 0.25\ntimer_bits = 0",
        "timer_bits = 8",
    ),
    ("stretch = 4", "stretch = 3"),
    ("below_lowest = \"off\"", "below_lowest = \"away\""),
    (
        "from_light_percent = 0.0\nrange_ratio = 16.0",
        "from_light_percent = 0.5\nrange_ratio = 16.0",
    ),
    (
        "order = 1\ndither_steps = 0.5",
        "order = 2\ndither_steps = 0.5",
    ),
    (
        "order = 1\ndither_steps = 0.5",
        "order = 2\ndither_steps = 0",
    ),
    (
        "order = 1\ndither_steps = 0.25",
        "order = 2\ndither_steps = 0.25",
    ),
    ("order = 1\ndither_steps = 0.5", "order = 2"),
    ("order = 1\ndither_steps = 0.25", "order = 2"),
    (
        "kind = \"exponential\"\ndepth = 500\ntail_levels = 1_024",
        "kind = \"linear\"",
    ),
    (
        "kind = \"exponential\"\ndepth = 500\ntail_levels = 1_024",
        "kind = \"lightness\"\ntail_levels = 1",
    ),
    ("kind = \"exponential\"", "kind = \"wavy\""),
    ("level = 0", "level = 0\nlight_percent = 0"),
    ("red = 0.5, white = 1.0", "red = 0, white = 0.0"),
    ("\"every key\"", "\"a/b\""),
    ("\"every key\"", "\".a\""),
    ("\"every key\"", "\"a.b\""),
    ("\"every key\"", "\"a\\tb\""),
    ("\"invented\"", "\"a\\tb\\nc\""),
    ("\"invented\"", "\"a\\u0000\""),
];

#[test]
fn changes_of_more_than_one_key() {
    let validator = validator();
    for (from, to) in CHANGES {
        let text = FULL.replacen(from, to, 1);
        assert_ne!(text, FULL, "{from}");
        let Ok(table) = toml::from_str::<Table>(&text) else {
            panic!("{to} makes no TOML");
        };
        assert_eq!(
            disagreement(&validator, to, |root| *root = Value::Table(table)),
            None
        );
    }
}

#[test]
fn texts_at_their_limits() {
    let validator = validator();
    let texts: [(&[&str], usize); 2] = [(&["name"], 60), (&["note"], 1_000)];
    for (path, longest) in texts {
        let path: Path = path.iter().map(ToString::to_string).collect();
        for length in [0, 1, longest, longest + 1] {
            let text = "é".repeat(length);
            let found = disagreement(&validator, &path.join("."), |root| {
                *value_at(root, &path) = text.into();
            });
            assert_eq!(found, None, "{length} characters");
        }
    }
}

#[test]
fn counts_at_their_limits() {
    let validator = validator();
    let spare: Value = toml::from_str::<Table>("red = 1.0").unwrap().into();
    for count in [30, 31] {
        let found = disagreement(&validator, "recipes", |root| {
            let recipes = root["recipes"].as_table_mut().unwrap();
            recipes.extend((0..count).map(|index| (index.to_string(), spare.clone())));
        });
        assert_eq!(found, None, "{count} more recipes");
    }
    for (name, count) in [
        ("channels", 14),
        ("channels", 15),
        ("script", 998),
        ("script", 999),
    ] {
        let found = disagreement(&validator, name, |root| {
            let array = root[name].as_array_mut().unwrap();
            for index in 0..count {
                let mut element = array[0].clone();
                if name == "channels" {
                    element["name"] = format!("red-{index}").into();
                }
                array.push(element);
            }
        });
        assert_eq!(found, None, "{count} more of {name}");
    }
}

/// Writes every default of the schema into the least file: the description must stay what it is.
#[test]
fn defaults_are_those_of_the_reader() {
    let schema = schema();
    let least = parse(LEAST, "least.toml").unwrap();
    let sections = [
        ("", &schema["properties"]),
        ("curve", &schema["$defs"]["curve"]["properties"]),
        (
            "requirements",
            &schema["$defs"]["requirements"]["properties"],
        ),
        ("supply", &schema["$defs"]["supply"]["properties"]),
        ("hardware", &schema["$defs"]["hardware"]["properties"]),
        ("operating", &schema["$defs"]["operating"]["properties"]),
        ("explore", &schema["$defs"]["explore"]["properties"]),
        ("spread", &schema["$defs"]["spread"]["properties"]),
        ("analog", &schema["$defs"]["analog"]["properties"]),
        ("modulation", &schema["$defs"]["modulation"]["properties"]),
    ];
    let mut seen = 0;
    for (section, properties) in sections {
        for (name, property) in properties.as_object().unwrap() {
            let Some(default) = property.get("default") else {
                continue;
            };
            let mut document: Table = toml::from_str(LEAST).unwrap();
            let table = match section {
                "" => &mut document,
                section => {
                    let table = document
                        .entry(section)
                        .or_insert_with(|| Table::new().into());
                    table.as_table_mut().unwrap()
                }
            };
            table.insert(name.clone(), Value::try_from(default).unwrap());
            let text = toml::to_string(&document).unwrap();
            assert_eq!(
                parse(&text, "default.toml").unwrap(),
                least,
                "{section}.{name}"
            );
            seen += 1;
        }
    }
    assert_eq!(seen, 51);
}
