//! What the options of `milliglow solve` ask for, done.

use super::Solve;
use super::values::Range;
use crate::cli::Failure;
use crate::colour::Xy;
use crate::colour::solver::{
    Aim, Primaries, Primary, Refused, Wanted, even_in_mirek, same_flux, solve as solved, worst_duv,
};
use crate::description::{Description, LevelChoice};
use crate::numbers::significant;
use crate::report::solved::{Kind, Recipes, Row, Ways};
use crate::run::{core_curve, level};
use milliglow::Level;

/// Rows of a table at most.
const MOST_ROWS: f64 = 1_000.0;

pub(super) fn solve(
    options: &Solve,
    description: &Description,
    origin: &str,
) -> Result<Recipes, Failure> {
    let primaries = primaries(description).map_err(|refused| in_file(origin, &refused))?;
    let (rows, kind) = match (options.sweep, options.dim_to_warm, options.fade) {
        (Some(range), ..) => (sweep(options, &primaries, range)?, Kind::Sweep),
        (_, Some(range), _) => {
            let mut way = way(options, &primaries, range)?;
            at_levels(&mut way.0, description);
            way
        }
        (.., Some(range)) => way(options, &primaries, range)?,
        _ => (vec![one(options, &primaries)?], Kind::One),
    };
    Ok(Recipes {
        origin: origin.to_owned(),
        primaries,
        rows,
        kind,
    })
}

fn primaries(description: &Description) -> Result<Primaries, Refused> {
    let channels = description.channels.iter().map(|channel| Primary {
        name: channel.name.clone(),
        light: Xy {
            x: channel.x,
            y: channel.y,
        },
        flux_lm: channel.flux_lm,
        power_w: channel.power_w,
    });
    Primaries::new(channels.collect())
}

fn in_file(origin: &str, refused: &Refused) -> Failure {
    Failure::plain(format!("{origin}: {refused}"))
}

fn one(options: &Solve, primaries: &Primaries) -> Result<Row, Failure> {
    let (name, wanted) = wanted(options)?;
    let flux_lm = match (options.flux_lm, options.xyz) {
        (None, Some([_, y, _])) if options.least_power || options.even_load => Some(y),
        (flux_lm, _) => flux_lm,
    };
    row(name, primaries, wanted, aim(options, flux_lm)?)
}

fn row(name: String, primaries: &Primaries, wanted: Wanted, aim: Aim) -> Result<Row, Failure> {
    let solved = solved(primaries, wanted, aim)
        .map_err(|refused| Failure::plain(format!("{name}: {refused}")))?;
    Ok(Row {
        name,
        level: None,
        solved,
    })
}

fn wanted(options: &Solve) -> Result<(String, Wanted), Failure> {
    let text = |number: f64| significant(number, 5);
    if let Some(cct_k) = options.cct {
        return Ok((white_name(cct_k, options.duv), white(options, cct_k)));
    }
    if let Some((name, light)) = &options.white {
        return Ok((name.clone(), Wanted::Light(*light)));
    }
    let light = match (options.xy, options.xyz) {
        (Some(light), _) => Some(light),
        (_, Some(values)) => Xy::from_tristimulus(values),
        _ => None,
    };
    let light = light.ok_or_else(|| {
        Failure::plain("--xyz: no colour; allowed are tristimulus values with a sum above 0")
    })?;
    let name = format!("x {}, y {}", text(light.x), text(light.y));
    Ok((name, Wanted::Light(light)))
}

fn white(options: &Solve, cct_k: f64) -> Wanted {
    Wanted::White {
        cct_k,
        duv: options.duv,
    }
}

fn white_name(cct_k: f64, duv: Option<f64>) -> String {
    let duv = duv.map(|duv| format!(", Duv {}", significant(duv, 4)));
    format!("{} K{}", significant(cct_k, 6), duv.unwrap_or_default())
}

fn aim(options: &Solve, flux_lm: Option<f64>) -> Result<Aim, Failure> {
    match flux_lm {
        Some(flux_lm) => Ok(spare(options)(flux_lm)),
        None if options.least_power || options.even_load => Err(Failure::plain(
            "--least-power and --even-load need a flux; add --flux-lm LM",
        )),
        None => Ok(Aim::MostFlux),
    }
}

fn spare(options: &Solve) -> fn(f64) -> Aim {
    if options.least_power {
        Aim::LeastPower
    } else {
        Aim::EvenLoad
    }
}

fn sweep(options: &Solve, primaries: &Primaries, range: Range) -> Result<Vec<Row>, Failure> {
    let steps = ((range.to_k - range.from_k).abs() / options.step + 1e-9).floor();
    if steps >= MOST_ROWS {
        return Err(Failure::plain(format!(
            "--sweep: {} rows; allowed are at most {MOST_ROWS}, so a larger --step",
            significant(steps + 1.0, 6)
        )));
    }
    let aim = aim(options, options.flux_lm)?;
    let step = options.step.copysign(range.to_k - range.from_k);
    let kelvins = (0..=steps as u32).map(|k| range.from_k + step * f64::from(k));
    let row = |cct_k: f64| {
        let name = white_name(cct_k, options.duv);
        row(name, primaries, white(options, cct_k), aim)
    };
    kelvins.map(row).collect()
}

/// Recipes from one end of a range to the other, all of one flux.
fn way(options: &Solve, primaries: &Primaries, range: Range) -> Result<(Vec<Row>, Kind), Failure> {
    let kelvins = even_in_mirek(range.from_k, range.to_k, options.knots.into());
    let whites: Vec<_> = kelvins.iter().map(|&cct_k| white(options, cct_k)).collect();
    let recipes = same_flux(primaries, &whites, options.flux_lm, spare(options))
        .map_err(|refused| Failure::plain(refused.to_string()))?;
    let shares: Vec<&[f64]> = recipes.iter().map(|solved| &*solved.shares).collect();
    let ways = Ways {
        straight: worst_duv(primaries, &[shares[0], shares[shares.len() - 1]]),
        along: worst_duv(primaries, &shares),
    };
    let rows = kelvins.iter().zip(recipes.iter().cloned());
    let rows = rows.map(|(&cct_k, solved)| Row {
        name: white_name(cct_k.round(), options.duv),
        level: None,
        solved,
    });
    Ok((rows.collect(), Kind::Way(ways)))
}

/// Spreads rows evenly over the Levels, from full down to the lowest light asked for.
fn at_levels(rows: &mut [Row], description: &Description) {
    let lowest_light = LevelChoice::Light(description.requirements.lowest_light);
    let lowest = f64::from(level(description, lowest_light).to_bits());
    let full = f64::from(Level::FULL.to_bits());
    let curve = core_curve(description.curve);
    let steps = rows.len().saturating_sub(1).max(1) as f64;
    for (k, row) in rows.iter_mut().enumerate() {
        let bits = (full + (lowest - full) * k as f64 / steps).round() as u16;
        row.level = Some((bits, curve.light(Level::from_bits(bits)).as_f64()));
    }
}
