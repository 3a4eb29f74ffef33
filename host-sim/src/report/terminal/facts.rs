//! What stands beside the verdicts: colour, temperature and power, in a line each.

use super::columns::paragraph;
use crate::metrics::N_STEP;
use crate::numbers::{percent, significant};
use crate::report::Checked;
use crate::report::plots;
use crate::report::wavelength_drift::wavelength_drift;
use crate::run::{Warmed, WhiteFade};

/// The lines, each `width` columns wide at most; empty where there is nothing to tell.
#[must_use]
pub fn facts(checked: &Checked, width: usize) -> String {
    let width = width.clamp(*super::WIDTHS.start(), *super::WIDTHS.end());
    let facts = [
        n_step(checked),
        warmth(checked),
        drift(checked),
        power(checked),
    ];
    let facts = facts.into_iter().flatten().chain(ways(checked));
    let lines: String = facts.map(|fact| paragraph(&fact, "  ", width)).collect();
    match &*lines {
        "" => lines,
        _ => format!("\nbeside the verdicts\n{lines}\n"),
    }
}

/// The brightest light at which any recipe has passed one n-step.
fn n_step(checked: &Checked) -> Option<String> {
    let dimming = checked.observed.dimming.iter();
    let passing = dimming
        .clone()
        .filter_map(|dimming| Some((dimming.passes_n_step?, dimming.recipe)));
    match passing.max_by(|one, other| one.0.total_cmp(&other.0)) {
        Some((light, recipe)) => Some(format!(
            "while dimming: one n-step is passed at {} light, first by {}",
            percent(light),
            checked.description.recipes[recipe].name
        )),
        None if dimming.len() == 0 => None,
        None => Some("while dimming: no lit Level of any recipe passes one n-step".to_owned()),
    }
}

/// All rows of the warm luminaire with the names of their recipes.
fn warm_rows(checked: &Checked) -> impl Iterator<Item = (&str, &Warmed)> {
    checked.observed.warmed.iter().flat_map(|warmed| {
        let name = &*checked.description.recipes[warmed.recipe].name;
        warmed.rows.iter().map(move |row| (name, row))
    })
}

fn warmth(checked: &Checked) -> Option<String> {
    let worst = |corrected: bool| {
        let shift = |row: &Warmed| row.given(corrected).shift;
        warm_rows(checked).max_by(|one, other| shift(one.1).total_cmp(&shift(other.1)))
    };
    let steps = |shift: f64| significant(shift / N_STEP, 3);
    let ((plain_name, plain), (_, corrected)) = (worst(false)?, worst(true)?);
    Some(format!(
        "warm: at most {} n-steps off without flux correction ({plain_name}, {}), {} with it",
        steps(plain.plain.shift),
        percent(plain.light),
        steps(corrected.corrected.shift),
    ))
}

fn drift(checked: &Checked) -> Option<String> {
    let warmest = |row: &Warmed| row.plain.junctions.iter().copied().fold(f64::MIN, f64::max);
    let (name, row) =
        warm_rows(checked).max_by(|one, other| warmest(one.1).total_cmp(&warmest(other.1)))?;
    let [least, most] = wavelength_drift(&row.plain).map(|nm| significant(nm, 2));
    Some(format!(
        "drift of the LEDs: peaks move by {least} to {most} nm at {} °C ({name}, {}), typical, not corrected",
        significant(warmest(row), 3),
        percent(row.light)
    ))
}

fn power(checked: &Checked) -> Option<String> {
    let fades = checked.observed.fade_powers.iter();
    let [plain, corrected] = fades
        .map(|fade| fade.peak_w)
        .reduce(|one, other| [one[0].max(other[0]), one[1].max(other[1])])?;
    let watts = |power: f64| significant(power, 3);
    let cap = match checked.description.board.power_cap_w {
        Some(cap) => format!("cap {} W", watts(cap)),
        None => "no cap".to_owned(),
    };
    Some(format!(
        "power through the script: at most {} W without flux correction, {} W with it; {cap}",
        watts(plain),
        watts(corrected)
    ))
}

/// A line a fade between whites.
fn ways(checked: &Checked) -> impl Iterator<Item = String> {
    let fades = checked.observed.white_fades.iter();
    fades.map(|fade| {
        let (from, to) = (
            significant(fade.from.cct_k, 4),
            significant(fade.to.cct_k, 4),
        );
        let (straight, along) = (duv(&fade.straight), duv(&fade.along));
        let along = if along == straight {
            String::new()
        } else {
            format!(" straight, {along} as it goes")
        };
        format!(
            "fade {}, {}: from {from} K to {to} K, Duv as far as {straight}{along}",
            plots::which_white_fade(checked, fade),
            fade.recipe
        )
    })
}

fn duv(way: &[crate::colour::White]) -> String {
    WhiteFade::farthest(way).map_or("of colours that are no white".to_owned(), |white| {
        format!("{:+.4}", white.duv)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;
    use crate::run::{FadePower, WarmedRecipe, WarmedWhen};
    use crate::thermal::WarmState;

    fn warmed(light: f64, shifts: [f64; 2], celsius: f64) -> Warmed {
        let [plain, corrected] = shifts.map(|shift| WarmState {
            shift,
            junctions: vec![celsius; 5],
            flux_lm: 1.0,
            power_w: 1.0,
        });
        Warmed {
            light,
            when: WarmedWhen::Settled,
            plain,
            corrected,
        }
    }

    #[test]
    fn each_fact_is_that_of_the_worst() {
        let mut checked = fixture::checked();
        checked.observed.dimming[0].passes_n_step = None;
        let rows = vec![
            warmed(1.0, [0.011, 0.000_11], 85.0),
            warmed(0.1, [0.0022, 0.000_22], 45.0),
        ];
        checked.observed.warmed = vec![WarmedRecipe { recipe: 1, rows }];
        let power = |peak_w| FadePower {
            peak_w,
            rows: Vec::new(),
        };
        checked.observed.fade_powers = vec![power([9.0, 11.0]), power([12.0, 10.0])];
        checked.description.board.power_cap_w = Some(11.0);
        let text = facts(&checked, 80)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        for said in [
            "passed at 0.0009 % light, first by stars",
            "at most 10 n-steps off without flux correction (stars, 100 %), 0.2 with it",
            "by 1.8 to 9 nm at 85 °C (stars, 100 %)",
            "at most 12 W without flux correction, 11 W with it; cap 11 W",
            "fade 2, stars: from 2700 K to 6500 K, Duv as far as +0.0081 straight, +0.0030 as it goes",
        ] {
            assert!(text.contains(said), "{said}: {text}");
        }
    }

    #[test]
    fn without_figures_nothing_is_told() {
        let mut checked = fixture::checked();
        checked.observed.dimming.clear();
        checked.observed.white_fades.clear();
        assert_eq!(facts(&checked, 80), "");
    }
}
