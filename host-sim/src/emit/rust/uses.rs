//! What a module imports: what its code names, no more.

/// Everything that a module may name, in the order in which rustfmt keeps it.
const KNOWN: [(&str, &[&str]); 9] = [
    ("constant", &[]),
    ("curve", &["Curve", "Exponential"]),
    ("density", &["DitherWidth", "Modulation", "Stretch"]),
    ("fade", &["Pace"]),
    (
        "flux_correction",
        &["Channel", "Factor", "FluxTable", "Heating", "Temperature"],
    ),
    (
        "luminaire",
        &[
            "Configuration",
            "Lowest",
            "Luminaire",
            "RangeChoice",
            "Target",
        ],
    ),
    (
        "operating",
        &[
            "EdgeLoss",
            "RangeRatio",
            "Row",
            "RowSetting",
            "Settling",
            "Table",
        ],
    ),
    ("requantise", &["Order", "TimerPwm"]),
    (
        "",
        &["Knots", "KnotsRef", "Level", "Light", "Recipe", "Share"],
    ),
];

pub(super) fn of(body: &str) -> String {
    let code: Vec<_> = body
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect();
    let named = |name: &str| code.iter().any(|line| is_named(line, name));
    let lines = KNOWN
        .iter()
        .filter_map(|(module, names)| line(module, names, &named));
    lines.collect()
}

fn line(module: &str, names: &[&str], named: &impl Fn(&str) -> bool) -> Option<String> {
    let used: Vec<_> = names.iter().copied().filter(|name| named(name)).collect();
    let path = if module.is_empty() { "" } else { "::" };
    match used.as_slice() {
        [] if names.is_empty() && named(module) => Some(format!("use milliglow::{module};\n")),
        [] => None,
        [one] => Some(format!("use milliglow::{module}{path}{one};\n")),
        several => Some(format!(
            "use milliglow::{module}{path}{{{}}};\n",
            several.join(", ")
        )),
    }
}

/// As a whole word, and not as a variant or function of something else.
fn is_named(line: &str, name: &str) -> bool {
    let part = |c: char| c.is_ascii_alphanumeric() || c == '_';
    line.match_indices(name).any(|(at, _)| {
        let (before, after) = (&line[..at], &line[at + name.len()..]);
        !before.ends_with(part) && !before.ends_with("::") && !after.starts_with(part)
    })
}
