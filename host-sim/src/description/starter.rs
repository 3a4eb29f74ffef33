//! The commented file that a new luminaire starts from.

use std::fmt::Write;

const TEMPLATE: &str = include_str!("starter.toml");

/// Name, flux in lm, x, y and power in W of an invented channel.
type Example = (&'static str, f64, f64, f64, f64);

const ONE: [Example; 1] = [("white", 500.0, 0.4400, 0.4030, 5.0)];
const TWO: [Example; 2] = [
    ("warm", 400.0, 0.4680, 0.4200, 4.0),
    ("cool", 520.0, 0.3120, 0.3280, 4.5),
];
const MANY: [Example; 16] = [
    ("red", 180.0, 0.6950, 0.3045, 3.2),
    ("green", 320.0, 0.1950, 0.7050, 4.8),
    ("blue", 60.0, 0.1400, 0.0550, 2.9),
    ("warm", 400.0, 0.4680, 0.4200, 4.0),
    ("amber", 210.0, 0.5750, 0.4235, 3.6),
    ("cool", 520.0, 0.3120, 0.3280, 4.5),
    ("lime", 480.0, 0.4080, 0.5350, 4.4),
    ("cyan", 170.0, 0.0800, 0.3500, 3.4),
    ("deep-blue", 30.0, 0.1570, 0.0250, 3.0),
    ("deep-red", 150.0, 0.7150, 0.2840, 3.1),
    ("mint", 450.0, 0.3600, 0.4500, 4.3),
    ("orange", 190.0, 0.6550, 0.3440, 3.3),
    ("neutral", 460.0, 0.3800, 0.3800, 4.4),
    ("emerald", 300.0, 0.1200, 0.7400, 4.6),
    ("yellow", 350.0, 0.5200, 0.4700, 4.2),
    ("violet", 12.0, 0.1680, 0.0150, 2.8),
];

/// The file that a new luminaire of 1 to 16 channels starts from (other counts give the nearest of these).
///
/// It explains every key, and unchanged it describes a sensible light, if `name` is one that a luminaire may have.
#[must_use]
pub fn starter(name: &str, channels: usize) -> String {
    let examples = match channels {
        0 | 1 => &ONE[..],
        2 => &TWO[..],
        _ => &MANY[..channels.min(MANY.len())],
    };
    let name = toml::Value::from(name).to_string();
    TEMPLATE
        .replace("@CHANNELS@\n", &channel_tables(examples))
        .replace("@RECIPES@\n", &recipes(examples))
        .replace("@SCRIPT@\n", &script(second_recipe(examples)))
        .replace("@NAME@", &name)
}

fn channel_tables(examples: &[Example]) -> String {
    let mut tables = String::new();
    for (name, flux_lm, x, y, power_w) in examples {
        let _ = writeln!(
            tables,
            "[[channels]]\nname = \"{name}\"\nflux_lm = {flux_lm:.1}\nx = {x:.4}\ny = {y:.4}\npower_w = {power_w:.1}\n"
        );
    }
    tables
}

/// All channels at full, and where there are several a colour that leans to every other one.
fn recipes(examples: &[Example]) -> String {
    let share = |leaning: bool, index: usize| if leaning && index % 2 == 1 { 0.6 } else { 1.0 };
    let recipe = |leaning: bool| {
        let shares = examples.iter().enumerate();
        let shares: Vec<String> = shares
            .map(|(index, (name, ..))| format!("{name} = {:?}", share(leaning, index)))
            .collect();
        shares.join(", ")
    };
    let mut lines = format!("full = {{ {} }}\n", recipe(false));
    if examples.len() > 1 {
        let _ = writeln!(lines, "tinted = {{ {} }}", recipe(true));
    }
    lines + "\n"
}

fn second_recipe(examples: &[Example]) -> &'static str {
    if examples.len() > 1 { "tinted" } else { "full" }
}

fn script(second: &str) -> String {
    let fades = [
        ("full", 100.0, 4.0),
        (second, 50.0, 2.0),
        (second, 0.1, 3.0),
        (second, 0.0, 3.0),
    ];
    let mut tables = String::new();
    for (recipe, light_percent, seconds) in fades {
        let _ = writeln!(
            tables,
            "[[script]]\nrecipe = \"{recipe}\"\nlight_percent = {light_percent:?}\nseconds = {seconds:?}\n"
        );
    }
    tables
}
