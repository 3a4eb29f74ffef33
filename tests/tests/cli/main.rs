//! The program from the command line: what it prints, writes and refuses, and how it ends.

mod bus;
mod check;
mod damaged;
mod drivers;
mod explore;
mod leds;
mod loops;
mod new;
mod refusals;
mod shipped_recipes;
mod solve;
mod spread;
mod warm;

/// The path of a shipped luminaire.
fn shipped(name: &str) -> String {
    format!(
        "{}/../host-sim/luminaires/{name}.toml",
        env!("CARGO_MANIFEST_DIR")
    )
}
