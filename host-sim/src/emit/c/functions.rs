//! The functions of a luminaire in C: set-up, a colour, and the script.

use super::memory::paths;
use super::{lower, prefix};
use crate::emit::parts::{Colour, Parts};

pub(super) fn declared(parts: &Parts<'_>) -> String {
    let (name, prefix) = (&parts.name, prefix(parts));
    let script = match parts.fades.len() {
        0 => String::new(),
        _ => format!(
            "
// The script, run from black.
extern const {name}_fade {name}_script[{prefix}_FADES];

// Begins a fade of the script: before the first of its control steps.
int32_t {name}_begin({name}_memory *memory, uint32_t fade);
"
        ),
    };
    format!(
        "
// Makes the luminaire, in the dark. Gives 0 or a MILLIGLOW_ERROR_...
int32_t {name}_init({name}_memory *memory);

// Sends it to a recipe, {prefix}_RECIPE_..., and a Level in so many control steps.
int32_t {name}_fade_to({name}_memory *memory, uint8_t recipe, uint16_t level, uint32_t control_steps);
{script}"
    )
}

pub(super) fn defined(parts: &Parts<'_>) -> String {
    [init(parts), fade_to(parts), script(parts)].concat()
}

fn init(parts: &Parts<'_>) -> String {
    let name = &parts.name;
    let tables = parts.tables.iter().enumerate().map(|(place, shared)| {
        let table = lower(parts.called(shared));
        let channels = shared.channels.iter();
        let used = channels
            .map(|channel| format!("  whole.tables[{channel}] = memory->tables[{place}];\n"));
        made("table", "table", place, &format!("table_{table}")) + &used.collect::<String>()
    });
    let knots = through_knots(parts).enumerate().map(|(place, recipe)| {
        let recipe = lower(&parts.recipe_names[recipe]);
        made("knots", "knots", place, &format!("recipe_{recipe}"))
    });
    let paths = paths(parts).enumerate();
    let paths = paths.map(|(place, fade)| made("path", "path", place, &format!("path_{fade}")));
    format!(
        "
int32_t {name}_init({name}_memory *memory) {{
  if (!memory) return MILLIGLOW_ERROR_NULL;
  milliglow_configuration whole = configuration;
  int32_t error = 0;
{}{}{}  if (!error) error = milliglow_init(memory->luminaire_bytes, sizeof memory->luminaire_bytes, &whole, &memory->luminaire);
  return error;
}}
",
        tables.collect::<String>(),
        knots.collect::<String>(),
        paths.collect::<String>(),
    )
}

/// One table, one path, or one recipe through knots, in its place.
fn made(what: &str, bytes: &str, place: usize, setting: &str) -> String {
    let handles = if what == "knots" {
        "knots".to_owned()
    } else {
        format!("{what}s")
    };
    format!(
        "  if (!error)
    error = milliglow_{what}_init(memory->{bytes}_bytes[{place}], sizeof memory->{bytes}_bytes[{place}], &{setting},
                                 &memory->{handles}[{place}]);
"
    )
}

/// The recipes through knots, by their places.
fn through_knots(parts: &Parts<'_>) -> impl Iterator<Item = usize> {
    let colours = parts.colours.iter().enumerate();
    colours.filter_map(|(place, colour)| matches!(colour, Colour::Knots(_)).then_some(place))
}

fn fade_to(parts: &Parts<'_>) -> String {
    let (name, prefix) = (&parts.name, prefix(parts));
    let case = |(place, recipe): (usize, &String)| {
        let to = match parts.colours[place] {
            Colour::Plain(_) => {
                format!(
                    "milliglow_fade_to(memory->luminaire, level, recipe_{}, control_steps)",
                    lower(recipe)
                )
            }
            Colour::Knots(_) => {
                let knots = through_knots(parts)
                    .position(|other| other == place)
                    .unwrap_or(0);
                format!(
                    "milliglow_fade_along(memory->luminaire, level, memory->knots[{knots}], control_steps)"
                )
            }
        };
        format!("    case {prefix}_RECIPE_{recipe}:\n      return {to};\n")
    };
    let cases = parts.recipe_names.iter().enumerate().map(case);
    format!(
        "
int32_t {name}_fade_to({name}_memory *memory, uint8_t recipe, uint16_t level, uint32_t control_steps) {{
  if (!memory) return MILLIGLOW_ERROR_NULL;
  switch (recipe) {{
{}    default:
      return MILLIGLOW_ERROR_OTHER;
  }}
}}
",
        cases.collect::<String>()
    )
}

fn script(parts: &Parts<'_>) -> String {
    if parts.fades.is_empty() {
        return String::new();
    }
    let (name, prefix) = (&parts.name, prefix(parts));
    let fades = parts.fades.iter().map(|fade| {
        format!(
            "    {{.fade_steps = {}u, .control_steps = {}u, .level = {}, .recipe = {prefix}_RECIPE_{}}},\n",
            fade.pace,
            fade.control_steps,
            fade.level.to_bits(),
            parts.recipe_names[fade.recipe]
        )
    });
    let through = paths(parts).enumerate().map(|(place, fade)| {
        format!(
            "  if (fade == {fade}u) return milliglow_fade_through(memory->luminaire, next->level, memory->paths[{place}]);\n"
        )
    });
    format!(
        "
const {name}_fade {name}_script[{prefix}_FADES] = {{
{}}};

int32_t {name}_begin({name}_memory *memory, uint32_t fade) {{
  if (fade >= {prefix}_FADES) return MILLIGLOW_ERROR_OTHER;
  if (!memory) return MILLIGLOW_ERROR_NULL;
  const {name}_fade *next = &{name}_script[fade];
{}  return {name}_fade_to(memory, next->recipe, next->level, next->fade_steps);
}}
",
        fades.collect::<String>(),
        through.collect::<String>()
    )
}
