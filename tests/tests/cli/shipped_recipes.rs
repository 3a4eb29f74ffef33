//! Every recipe of the luminaires that ship is what `milliglow solve` gives for the options that stand beside it.

use milliglow_sim::description::{Description, Recipe, read};
use milliglow_tests::program::Folder;
use serde_json::Value;
use std::path::Path;

use crate::shipped;

const FILES: [&str; 5] = [
    "aisle-marker",
    "cove-light",
    "cove-light-first-draft",
    "desk-light",
    "dome-wash",
];

/// The options that stand behind a recipe's name, as arguments.
fn options<'t>(text: &'t str, recipe: &str) -> Vec<&'t str> {
    let line = text
        .lines()
        .find(|line| line.starts_with(&format!("{recipe} = ")));
    let options = line
        .and_then(|line| line.split_once("# "))
        .map(|(_, options)| options);
    let options = options.unwrap_or_else(|| panic!("no command beside {recipe}"));
    options.split_whitespace().collect()
}

/// What the program solves: one row a recipe.
fn solved(file: &str, options: &[&str]) -> Vec<Value> {
    let ended = Folder::new().run(&[&["solve", file, "--json"], options].concat());
    assert_eq!((ended.code, &*ended.err), (0, ""), "{options:?}");
    let mut document: Value = serde_json::from_str(&ended.out).unwrap();
    match document["recipes"].take() {
        Value::Array(recipes) => recipes,
        _ => vec![document],
    }
}

/// The same to the six digits of the file.
fn assert_shares(written: &[f64], row: &Value, what: &str) {
    assert_eq!(row["in_gamut"], true, "{what}");
    let shares = row["shares"].as_array().unwrap();
    let six_digits = |share: &Value| format!("{:.5e}", share.as_f64().unwrap()).parse::<f64>();
    let shares: Vec<f64> = shares
        .iter()
        .map(|share| six_digits(share).unwrap())
        .collect();
    assert_eq!(written, shares, "{what}");
}

fn assert_recipe(recipe: &Recipe, rows: &[Value], what: &str) {
    if !recipe.follows_level() {
        let first = |row: &&Value| row["shares"][0].as_f64().unwrap();
        // Of a fade the end that is nearer.
        let off = |row: &&Value| (first(row) - recipe.shares[0]).abs();
        let ends = [&rows[0], &rows[rows.len() - 1]];
        let nearest = ends
            .into_iter()
            .min_by(|one, other| off(one).total_cmp(&off(other)));
        return assert_shares(&recipe.shares, nearest.unwrap(), what);
    }
    assert_eq!(recipe.knots.len(), rows.len(), "{what}");
    for (knot, row) in recipe.knots.iter().rev().zip(rows) {
        assert_eq!(u64::from(knot.level), row["level"], "{what}");
        assert_shares(&knot.shares, row, what);
    }
}

/// The recipes between the ends of the fade that the last one comes from.
fn assert_ways(description: &Description, file: &str, text: &str) -> usize {
    let ways = description
        .script
        .iter()
        .filter(|fade| !fade.through.is_empty());
    let ways = ways.map(|fade| {
        let last = &description.recipes[fade.recipe].name;
        let rows = solved(file, &options(text, last));
        assert_eq!(fade.through.len() + 2, rows.len(), "{last}");
        for (written, row) in fade.through.iter().zip(&rows[1..]) {
            assert_shares(written, row, last);
        }
    });
    ways.count()
}

#[test]
fn every_recipe_that_ships_is_solved_anew() {
    let mut ways = 0;
    for name in FILES {
        let file = shipped(name);
        let (description, text) = read(Path::new(&file)).unwrap();
        assert!(
            text.contains(&format!("milliglow solve {name}.toml")),
            "{name}"
        );
        for recipe in &description.recipes {
            let what = format!("{name}: {}", recipe.name);
            let rows = solved(&file, &options(&text, &recipe.name));
            assert_recipe(recipe, &rows, &what);
        }
        ways += assert_ways(&description, &file, &text);
    }
    assert_eq!(ways, 1, "the cove light fades through recipes");
}
