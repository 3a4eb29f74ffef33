//! The C header and source, for the interface of `milliglow-ffi`.

mod configuration;
mod flux;
mod functions;
mod memory;

use milliglow::Share;

use super::File;
use super::parts::{Colour, Parts};

pub(super) fn header(parts: &Parts<'_>) -> File {
    let guard = format!("{}_H", prefix(parts));
    let text = format!(
        "{}#ifndef {guard}
#define {guard}

#include <stdbool.h>
#include <stdint.h>

#include \"milliglow.h\"
{}{}
#ifdef __cplusplus
extern \"C\" {{
#endif
{}{}
#ifdef __cplusplus
}}
#endif

#endif
",
        head(parts),
        constants(parts),
        memory::types(parts),
        flux::declared(parts),
        functions::declared(parts),
    );
    file(parts, "h", text)
}

pub(super) fn source(parts: &Parts<'_>) -> File {
    let text = format!(
        "{}#include \"{}.h\"
{}{}{}{}{}{}",
        head(parts),
        parts.name,
        configuration::tables(parts),
        configuration::configuration(parts),
        recipes(parts),
        paths(parts),
        flux::defined(parts),
        functions::defined(parts),
    );
    file(parts, "c", text)
}

fn file(parts: &Parts<'_>, extension: &str, text: String) -> File {
    File {
        name: format!("{}.{extension}", parts.name),
        text,
    }
}

/// Of macros.
fn prefix(parts: &Parts<'_>) -> String {
    parts.name.to_ascii_uppercase()
}

fn head(parts: &Parts<'_>) -> String {
    let lines = parts.head();
    lines
        .iter()
        .map(|line| format!("// {line}").trim_end().to_owned() + "\n")
        .collect()
}

fn constants(parts: &Parts<'_>) -> String {
    let (prefix, description) = (prefix(parts), parts.description);
    let channels = &description.channels;
    let names: Vec<_> = channels
        .iter()
        .map(|channel| channel.name.as_str())
        .collect();
    let recipes = parts
        .recipe_names
        .iter()
        .zip(&description.recipes)
        .enumerate();
    let recipes = recipes.map(|(place, (name, recipe))| {
        format!(
            "// {:?}.\n#define {prefix}_RECIPE_{name} {place}\n",
            recipe.name
        )
    });
    format!(
        "
// Ticks a second of the streams.
#define {prefix}_TICK_HZ {}u
// Control steps a second; each takes effect with the first word of 32 ticks that begins at or after it.
#define {prefix}_STEPS_HZ {}u
// The channels: {}.
#define {prefix}_CHANNELS {}
// Fades of the script, and whether it starts over when it ends.
#define {prefix}_FADES {}
#define {prefix}_SCRIPT_LOOPS {}

// The recipes.
{}",
        description.tick_hz,
        description.control_hz,
        names.join(", "),
        channels.len(),
        parts.fades.len(),
        description.script_loops,
        recipes.collect::<String>(),
    )
}

/// A name of the source's own.
fn lower(name: &str) -> String {
    name.to_ascii_lowercase()
}

fn recipes(parts: &Parts<'_>) -> String {
    let named = parts.recipe_names.iter().zip(&parts.colours);
    named
        .map(|(name, colour)| recipe(parts, &lower(name), colour))
        .collect()
}

fn recipe(parts: &Parts<'_>, name: &str, colour: &Colour) -> String {
    let (prefix, count) = (prefix(parts), parts.channel_names.len());
    match colour {
        Colour::Plain(given) => format!(
            "\nstatic const uint32_t recipe_{name}[{prefix}_CHANNELS] = {{\n{}}};\n",
            shares(parts, given)
        ),
        Colour::Knots(knots) => {
            let levels = knots
                .iter()
                .map(|(level, _)| format!("    {},\n", level.to_bits()));
            let given = knots.iter().map(|(_, given)| shares(parts, given));
            format!(
                "
static const uint16_t levels_{name}[{length}] = {{
{}}};

static const uint32_t shares_{name}[{length} * {prefix}_CHANNELS] = {{
{}}};

static const milliglow_knots_setting recipe_{name} = {{
    .levels = levels_{name},
    .shares = shares_{name},
    .knot_count = {length},
    .channels = {count},
}};
",
                levels.collect::<String>(),
                given.collect::<String>(),
                length = knots.len(),
            )
        }
    }
}

/// The ways of fades through recipes, called by the places of the fades.
fn paths(parts: &Parts<'_>) -> String {
    memory::paths(parts)
        .map(|place| path(parts, place))
        .collect()
}

fn path(parts: &Parts<'_>, place: usize) -> String {
    let (prefix, legs) = (prefix(parts), &parts.fades[place].legs);
    let steps = legs.iter().map(|(_, steps)| format!("    {steps}u,\n"));
    let given = legs.iter().map(|(given, _)| shares(parts, given));
    format!(
        "
static const uint32_t leg_steps_{place}[{length}] = {{
{}}};

static const uint32_t leg_shares_{place}[{length} * {prefix}_CHANNELS] = {{
{}}};

static const milliglow_path_setting path_{place} = {{
    .leg_steps = leg_steps_{place},
    .leg_shares = leg_shares_{place},
    .leg_count = {length},
    .channels = {count},
}};
",
        steps.collect::<String>(),
        given.collect::<String>(),
        length = legs.len(),
        count = parts.channel_names.len(),
    )
}

fn shares(parts: &Parts<'_>, shares: &[Share]) -> String {
    let channels = parts.description.channels.iter().zip(shares);
    channels
        .map(|(channel, share)| format!("    0x{:08X}u, // {}\n", share.to_bits(), channel.name))
        .collect()
}
