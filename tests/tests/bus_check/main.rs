//! A luminaire that a bus moves, judged by `check`: consoles that fade, jump and fall silent, gears that are cut short.

mod consoles;
mod gear_runs;
mod gears;

use std::fmt::Write;

use milliglow_sim::check::check;
use milliglow_sim::description::parse;
use milliglow_sim::run::Observed;
use milliglow_sim::verdict::Verdict;

/// An invented white of one channel, slow enough to be judged soon.
const WHITE: &str = r#"schema = 1
name = "white"
note = "invented"
tick_hz = 1_000_000
control_hz = 1_000
full_output_cd_m2 = 100.0
[curve]
kind = "exponential"
depth = 1_000
tail_levels = 8
[[channels]]
name = "white"
flux_lm = 400.0
x = 0.44
y = 0.403
[recipes]
full = { white = 1.0 }
[requirements]
lowest_light_percent = 1.0
"#;

/// The file of a luminaire on a bus, its frames given one by one.
fn text_of(luminaire: &str, bus: &str, frames: &[(f64, Vec<u8>)]) -> String {
    let mut text = format!("{luminaire}[bus]\n{bus}\nframes = [\n");
    for (at_s, bytes) in frames {
        let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        let told = if hex.is_empty() { "down" } else { &hex };
        writeln!(text, "  \"{at_s:.6}, {told}\",").unwrap();
    }
    text + "]\n"
}

/// What `check` makes of the white on a bus.
fn checked(bus: &str, frames: &[(f64, Vec<u8>)]) -> (Observed, Vec<Verdict>) {
    let text = text_of(WHITE, bus, frames);
    let description = parse(&text, "white.toml").unwrap_or_else(|problem| panic!("{problem}"));
    check(&description, |_| ())
}

/// The worst value of a metric among verdicts at places that begin so.
fn worst(verdicts: &[Verdict], id: &str, at: &str) -> f64 {
    let found = verdicts.iter().filter(|verdict| verdict.id == id);
    let found = found.filter(|verdict| verdict.at.trim_start_matches("worst: ").starts_with(at));
    let values = found.filter_map(|verdict| verdict.value);
    values
        .reduce(f64::max)
        .unwrap_or_else(|| panic!("{id} at {at}"))
}

/// Where the Level is at a time, in s.
fn level_at(observed: &Observed, at_s: f64) -> u16 {
    let mut moments = observed.script.iter();
    let moment = moments.find(|moment| moment.time_s >= at_s);
    moment.expect("a moment").level
}
