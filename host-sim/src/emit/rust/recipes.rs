//! Recipes, the same at every Level or through knots.

use milliglow::{Level, Share};

use super::{assigned, bits, number};
use crate::emit::parts::{Colour, Parts};

pub(super) fn recipes(parts: &Parts<'_>) -> String {
    let described = parts.description.recipes.iter();
    let named = parts.recipe_names.iter().zip(described);
    let named = named.map(|(name, recipe)| (name, format!("/// The recipe {:?}", recipe.name)));
    named
        .zip(&parts.colours)
        .map(|((name, doc), colour)| match colour {
            Colour::Plain(given) => plain(parts, name, &doc, given),
            Colour::Knots(knots) => through(parts, name, &doc, knots),
        })
        .collect()
}

fn plain(parts: &Parts<'_>, name: &str, doc: &str, given: &[Share]) -> String {
    format!(
        "
{doc}.
pub static RECIPE_{name}: Recipe<CHANNELS> = Recipe::new([
{}]);
",
        shares(parts, 4, given)
    )
}

fn through(parts: &Parts<'_>, name: &str, doc: &str, knots: &[(Level, Vec<Share>)]) -> String {
    let count = knots.len();
    let made = assigned(
        &format!("pub static RECIPE_{name}: Knots<CHANNELS, {count}>"),
        &format!("constant!(Knots::new(KNOTS_OF_{name}))"),
    );
    let entries = knots
        .iter()
        .map(|(level, given)| knot(parts, *level, given));
    format!(
        "
const KNOTS_OF_{name}: [(Level, Recipe<CHANNELS>); {count}] = [
{}];

{doc} as a function of Level.
{made}
",
        entries.collect::<String>()
    )
}

fn knot(parts: &Parts<'_>, level: Level, given: &[Share]) -> String {
    format!(
        "    (
        Level::from_bits({}),
        Recipe::new([
{}        ]),
    ),
",
        number(level.to_bits().into()),
        shares(parts, 12, given)
    )
}

pub(super) fn shares(parts: &Parts<'_>, indent: usize, shares: &[Share]) -> String {
    let space = " ".repeat(indent);
    let channels = parts.description.channels.iter().zip(shares);
    channels
        .map(|(channel, share)| {
            let bits = bits(share.to_bits());
            format!("{space}Share::from_bits({bits}), // {}\n", channel.name)
        })
        .collect()
}
