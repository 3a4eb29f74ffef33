//! The RAM of the luminaire, which the program gives.

use super::prefix;
use crate::emit::parts::{Colour, Parts};

/// Recipes through knots.
pub(super) fn knots(parts: &Parts<'_>) -> usize {
    let is_through_knots = |colour: &&Colour| matches!(colour, Colour::Knots(_));
    parts.colours.iter().filter(is_through_knots).count()
}

/// The memory of the luminaire and a fade of its script. Handles stand first, so that all that follows is aligned.
pub(super) fn types(parts: &Parts<'_>) -> String {
    let (name, tables, knots) = (&parts.name, parts.tables.len(), knots(parts));
    let paths = paths(parts).count();
    let member = |count: usize, text: &str| {
        if count == 0 {
            String::new()
        } else {
            text.to_owned()
        }
    };
    format!(
        "
// RAM of the luminaire: `static {name}_memory memory;`. {name}_init fills it.
typedef struct {{
  // For the functions of milliglow.h.
  milliglow_luminaire *luminaire;
{}{}{}  unsigned char luminaire_bytes[MILLIGLOW_LUMINAIRE_BYTES];
{}{}{}}} {name}_memory;
{}",
        member(tables, &format!("  milliglow_table *tables[{tables}];\n")),
        member(knots, &format!("  milliglow_knots *knots[{knots}];\n")),
        member(paths, &format!("  milliglow_path *paths[{paths}];\n")),
        member(
            tables,
            &format!("  unsigned char table_bytes[{tables}][MILLIGLOW_TABLE_BYTES];\n")
        ),
        member(
            knots,
            &format!("  unsigned char knots_bytes[{knots}][MILLIGLOW_KNOTS_BYTES];\n")
        ),
        member(
            paths,
            &format!("  unsigned char path_bytes[{paths}][MILLIGLOW_PATH_BYTES];\n")
        ),
        fade(parts),
    )
}

/// Fades through recipes, by their places.
pub(super) fn paths(parts: &Parts<'_>) -> impl Iterator<Item = usize> {
    let fades = parts.fades.iter().enumerate();
    fades.filter_map(|(place, fade)| (!fade.legs.is_empty()).then_some(place))
}

fn fade(parts: &Parts<'_>) -> String {
    if parts.fades.is_empty() {
        return String::new();
    }
    format!(
        "
// A fade of the script.
typedef struct {{
  // Control steps from its begin to its arrival, 0 for the next one.
  uint32_t fade_steps;
  // Control steps until the next fade begins.
  uint32_t control_steps;
  // The Level at which it arrives.
  uint16_t level;
  // {}_RECIPE_...
  uint8_t recipe;
}} {}_fade;
",
        prefix(parts),
        parts.name
    )
}
