//! Reads the values of the options of `milliglow solve`.

use crate::colour::{ILLUMINANTS, NOMINAL_WHITES, Xy, named_white};

/// From one CCT in K to another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Range {
    pub(super) from_k: f64,
    pub(super) to_k: f64,
}

pub(super) fn pair(text: &str) -> Result<Xy, String> {
    let [x, y] = numbers(text).ok_or("allowed are two numbers, such as 0.31,0.33")?;
    Ok(Xy { x, y })
}

pub(super) fn triple(text: &str) -> Result<[f64; 3], String> {
    numbers(text).ok_or_else(|| "allowed are three numbers, such as 95.0,100.0,108.9".to_owned())
}

fn numbers<const N: usize>(text: &str) -> Option<[f64; N]> {
    let numbers = text.split(',').map(finite);
    numbers.collect::<Option<Vec<_>>>()?.try_into().ok()
}

pub(super) fn range(text: &str) -> Result<Range, String> {
    let ends = text.split_once("..");
    let ends = ends.and_then(|(from, to)| Some((finite(from)?, finite(to)?)));
    let ends = ends.filter(|(from_k, to_k)| from_k != to_k);
    let (from_k, to_k) = ends.ok_or("allowed are two CCTs in K that differ, such as 1800..6500")?;
    Ok(Range { from_k, to_k })
}

pub(super) fn step(text: &str) -> Result<f64, String> {
    let step = finite(text).filter(|step| *step > 0.0);
    step.ok_or_else(|| "allowed is a number of K above 0".to_owned())
}

pub(super) fn named(text: &str) -> Result<(String, Xy), String> {
    let light = named_white(text).ok_or_else(|| {
        let nominal = NOMINAL_WHITES.iter().map(|white| white.name);
        let names = nominal.chain(ILLUMINANTS.iter().map(|(name, _)| *name));
        format!("allowed are {}", names.collect::<Vec<_>>().join(", "))
    })?;
    Ok((text.to_owned(), light))
}

fn finite(text: &str) -> Option<f64> {
    text.trim()
        .parse()
        .ok()
        .filter(|number: &f64| number.is_finite())
}
