//! Keeps the README's table true that follows 1 % through the house.
//!
//! To write it anew: `MILLIGLOW_WRITE_README=1 cargo test -p milliglow-tests --test one_number`.

use std::fmt::Write;

use milliglow::Light;
use milliglow::fade::Pace;
use milliglow_sim::check::check;
use milliglow_sim::description::{BUILT_IN, Description, parse};
use milliglow_sim::run::{core_curve, core_shares, light, luminaire};
use milliglow_tests::readme::keep;

const RECIPE: usize = 0;
const CHANNEL: usize = 0;

#[test]
fn the_readme_follows_one_percent() {
    keep("one number", &table());
}

fn table() -> String {
    let cove = parse(BUILT_IN, "built in").unwrap();
    let recipe = &cove.recipes[RECIPE];
    let channel = &cove.channels[CHANNEL].name;
    let curve = core_curve(cove.curve);
    let level = curve.level(light(0.01));
    let share = core_shares(&recipe.shares)[CHANNEL];
    let channel_light = share.of(curve.light(level));
    let mut stepped = luminaire(&cove);
    stepped.fade_to(level, &core_shares(&recipe.shares), Pace::AT_ONCE);
    stepped.control_step();
    let density = stepped.stands()[CHANNEL].density;
    let mut words = vec![[0; 2]; cove.channels.len()];
    stepped.fill(
        &mut words
            .iter_mut()
            .map(|words| &mut words[..])
            .collect::<Vec<_>>(),
    );
    let [first, second] = words[CHANNEL];

    let mut table = String::from("| what | value | made by |\n|---|---|---|\n");
    let mut row = |what: &str, value: String, by: &str| {
        writeln!(table, "| {what} | {value} | {by} |").unwrap();
    };
    row("asked for", "1 % of full light".to_owned(), "you");
    row(
        "Level",
        format!("{} of 65 535", level.to_bits()),
        "`Curve::level`, rounded down",
    );
    row("light", fraction(curve.light(level)), "`Curve::light`");
    row(
        &format!("share of {channel} in \"{}\"", recipe.name),
        fraction(Light::from_bits(share.to_bits())),
        "the recipe",
    );
    row("channel light", fraction(channel_light), "`Share::of`");
    row(
        "density",
        fraction(Light::from_bits(density.to_bits())),
        "`Luminaire::control_step`",
    );
    row(
        "first 64 ticks",
        format!("`{first:032b}`<br>`{second:032b}`"),
        "`Luminaire::fill`",
    );
    row(
        "pulse rate, slowest channel",
        pulse_rate(&cove),
        "`milliglow check`",
    );
    table
}

fn fraction(light: Light) -> String {
    format!("{:.7} ({:#010x})", light.as_f64(), light.to_bits())
}

/// The metric at the end of the way: value, limit and outcome, as `check` gives them.
fn pulse_rate(cove: &Description) -> String {
    let (_, verdicts) = check(cove, |_| {});
    let at = format!("{}, 1 %", cove.recipes[RECIPE].name);
    let verdict = verdicts
        .iter()
        .find(|v| v.id == "pulse_rate" && v.at == at)
        .expect("the verdict");
    format!(
        "{:.1} Hz, limit {} Hz: {:?}",
        verdict.value.unwrap(),
        verdict.limit,
        verdict.outcome
    )
    .to_lowercase()
    .replace("hz", "Hz")
}
