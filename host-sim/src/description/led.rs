//! What an LED makes of its current: light that lasts, efficacy and colour against current.

use super::Problem;
use super::key::{Key, Offer, key};
use super::table::Table;
use super::value::{Number, above_to, from_to};
use crate::colour::{Xy, is_real};
use crate::numbers::percent;
use crate::optics::drivers::{Decay, DriverError, Knot, LightDecay, OverCurrent};

const DECAY: &str = "light_decay";
const PERCENT: Key<Number, Offer> = key("percent", above_to(0.0, 100.0, "%"), Offer("100.0"));
const CONSTANT_US: Key<Number, Offer> = key(
    "time_constant_us",
    from_to(0.001, 1e6, "us"),
    Offer("0.065"),
);

const OVER_CURRENT: &str = "over_current";
const CURRENT: Key<Number, Offer> = key("current_percent", from_to(0.01, 99.0, "%"), Offer("12.5"));
const EFFICACY: Key<Number, Offer> = key(
    "efficacy_percent",
    from_to(10.0, 1_000.0, "%"),
    Offer("110.0"),
);
const X: Key<Number, Offer> = key("x", from_to(0.0, 1.0, ""), Offer("0.44"));
const Y: Key<Number, Offer> = key("y", above_to(0.0, 1.0, ""), Offer("0.4"));

pub(super) const KEYS: [&str; 2] = [DECAY, OVER_CURRENT];

const MOST_DECAYS: usize = 2;
/// Beside the one at full current, which the channel itself is.
const MOST_KNOTS: usize = 15;

/// The decay of a channel's light; prompt where none is written.
pub(super) fn decay(channel: &Table<'_>) -> Result<LightDecay, Problem> {
    let Some(tables) = channel.tables(DECAY, 1..=MOST_DECAYS)? else {
        return Ok(LightDecay::NONE);
    };
    let mut decays: Vec<Decay> = Vec::with_capacity(tables.len());
    for table in &tables {
        table.only(&[PERCENT.name, CONSTANT_US.name])?;
        let decay = Decay {
            part: table.need(&PERCENT)? / 100.0,
            constant_s: table.need(&CONSTANT_US)? / 1e6,
        };
        decays.push(decay);
        LightDecay::new(&decays).map_err(|_| {
            let left = 1.0
                - decays[..decays.len() - 1]
                    .iter()
                    .map(|d| d.part)
                    .sum::<f64>();
            Problem::new("more light decays than there is")
                .about(table.path_of(PERCENT.name))
                .at(table.span_of(&PERCENT))
                .allowed(format!(
                    "at most {}, what is left of the light",
                    percent(left)
                ))
        })?;
    }
    Ok(LightDecay::new(&decays).expect("validated decays"))
}

/// Efficacy and colour of a channel of a chromaticity at full current; none where its light is in proportion to the current.
pub(super) fn over_current(channel: &Table<'_>, full: Xy) -> Result<Option<OverCurrent>, Problem> {
    let Some(tables) = channel.tables(OVER_CURRENT, 1..=MOST_KNOTS)? else {
        return Ok(None);
    };
    let mut knots: Vec<Knot> = Vec::with_capacity(tables.len() + 1);
    for table in &tables {
        let knot = knot(table)?;
        rises(table, knots.last(), &knot)?;
        knots.push(knot);
    }
    knots.push(Knot {
        current: 1.0,
        efficacy: 1.0,
        xy: full,
    });
    OverCurrent::new(&knots).map(Some).map_err(|error| {
        let above = match error {
            DriverError::LightFalls { to, .. } => knots.iter().position(|knot| knot.current == to),
            _ => None,
        };
        // What falls up to a knot falls from the efficacy of the one before.
        let table = &tables[above.map_or(0, |above| above.saturating_sub(1))];
        Problem::new(error.to_string())
            .about(table.path_of(EFFICACY.name))
            .at(table.span_of(&EFFICACY))
            .allowed(error.allowed())
    })
}

fn knot(table: &Table<'_>) -> Result<Knot, Problem> {
    table.only(&[CURRENT.name, EFFICACY.name, X.name, Y.name])?;
    let current = table.need(&CURRENT)? / 100.0;
    let efficacy = table.need(&EFFICACY)? / 100.0;
    let xy = Xy {
        x: table.need(&X)?,
        y: table.need(&Y)?,
    };
    real(table, &X, xy)?;
    Ok(Knot {
        current,
        efficacy,
        xy,
    })
}

fn rises(table: &Table<'_>, before: Option<&Knot>, knot: &Knot) -> Result<(), Problem> {
    match before {
        Some(before) if knot.current <= before.current => {
            Err(Problem::new("the currents do not rise")
                .about(table.path_of(CURRENT.name))
                .at(table.span_of(&CURRENT))
                .allowed(format!(
                    "above {}, the knot before",
                    percent(before.current)
                )))
        }
        _ => Ok(()),
    }
}

/// Refuses a chromaticity that no light has.
pub(super) fn real(table: &Table<'_>, x: &Key<Number, Offer>, xy: Xy) -> Result<(), Problem> {
    if is_real(xy) {
        return Ok(());
    }
    let title = format!("no real light has the chromaticity ({}, {})", xy.x, xy.y);
    Err(Problem::new(title)
        .about(table.path_of(x.name))
        .at(table.span_of(x))
        .allowed("x and y inside the CIE 1931 spectral locus closed by the purple line"))
}
