//! Solved recipes as one JSON document.

use serde_json::{Map, Value, json};

use super::{Kind, Recipes, Row, Ways};
use crate::colour::{N_STEP, NominalWhite, White};
use crate::report::{PROGRAM, VERSION};

/// The document, keys in this order; units in the keys, null for what there is not.
///
/// | key | holds |
/// |---|---|
/// | `schema_version` | 1; raised when a key changes its meaning or goes |
/// | `tool` | `name` and `version` of the program |
/// | `input` | `origin`, the luminaire's file or `built in` |
/// | `channels` | names, in the order of the shares |
/// | `gamut` | corners as `u_prime`, `v_prime`, counterclockwise |
/// | of one colour | the keys of a recipe, see below |
/// | of more | `recipes`, an array of recipes; of a way also `worst_duv`: `straight` in channel light from the first recipe to the last, and `along_recipes`: `duv` and `cct_k` of the white farthest from the Planckian locus, null where some of the way is no white |
///
/// A recipe:
///
/// | key | holds |
/// |---|---|
/// | `name` | the white or chromaticity asked for |
/// | `level`, `light` | of dim to warm: the Level, and the light there as a fraction of full |
/// | `shares` | one share a channel, 0 to 1 |
/// | `flux_lm`, `reachable_flux_lm` | flux of the recipe, and the most at its chromaticity |
/// | `power_w` | electrical power, or null if that of a lit channel is not known |
/// | `x`, `y`, `u_prime`, `v_prime` | chromaticity that it gives |
/// | `cct_k`, `duv` | CCT and Duv, null where it is no white |
/// | `nominal_white` | of ANSI C78.377, whose quadrangle holds it, or null |
/// | `asked_x`, `asked_y` | chromaticity asked for |
/// | `in_gamut` | whether that is reached; if not, the recipe gives the nearest colour |
/// | `distance_uv`, `distance_n_steps` | delta u'v' to it, and as n-steps of 0.0011 |
#[must_use]
pub fn json(recipes: &Recipes) -> Value {
    let gamut = recipes.primaries.gamut().corners();
    let mut document = json!({
        "schema_version": 1,
        "tool": { "name": PROGRAM, "version": VERSION },
        "input": { "origin": recipes.origin },
        "channels": recipes.primaries.channels().iter().map(|channel| &channel.name).collect::<Vec<_>>(),
        "gamut": gamut.map(|uv| json!({ "u_prime": uv.u, "v_prime": uv.v })).collect::<Vec<_>>(),
    });
    let object = document.as_object_mut().expect("an object");
    match recipes.kind {
        Kind::One => object.extend(recipes.rows.iter().flat_map(recipe)),
        Kind::Sweep => object.extend(table(recipes)),
        Kind::Way(ways) => {
            object.extend(table(recipes));
            object.insert("worst_duv".to_owned(), worst(ways));
        }
    }
    document
}

fn table(recipes: &Recipes) -> Map<String, Value> {
    let rows = recipes.rows.iter().map(recipe).map(Value::Object);
    Map::from_iter([("recipes".to_owned(), rows.collect())])
}

fn worst(ways: Ways) -> Value {
    let white = |white: White| json!({ "duv": white.duv, "cct_k": white.cct_k });
    json!({ "straight": ways.straight.map(white), "along_recipes": ways.along.map(white) })
}

fn recipe(row: &Row) -> Map<String, Value> {
    let solved = &row.solved;
    let uv = solved.light.to_uv();
    let recipe = json!({
        "name": row.name,
        "level": row.level.map(|(level, _)| level),
        "light": row.level.map(|(_, light)| light),
        "shares": solved.shares,
        "flux_lm": solved.flux_lm,
        "reachable_flux_lm": solved.reachable_lm,
        "power_w": solved.power_w,
        "x": solved.light.x,
        "y": solved.light.y,
        "u_prime": uv.u,
        "v_prime": uv.v,
        "cct_k": solved.white.map(|white| white.cct_k),
        "duv": solved.white.map(|white| white.duv),
        "nominal_white": NominalWhite::around(solved.light).map(|white| white.name),
        "asked_x": solved.asked.x,
        "asked_y": solved.asked.y,
        "in_gamut": solved.in_gamut,
        "distance_uv": solved.distance,
        "distance_n_steps": solved.distance / N_STEP,
    });
    match recipe {
        Value::Object(recipe) => recipe,
        _ => Map::new(),
    }
}
