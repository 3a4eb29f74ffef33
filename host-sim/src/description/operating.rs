//! `[operating]`, and `operating` in a channel: which set point of the driver and which stretch at which light.

use super::key::{Key, Offer, key};
use super::table::Table;
use super::value::{Kind, Number, Refusal, Word, above_to, from_to, whole};
use super::{BelowLowest, Channel, Operating, OperatingRow, Problem, SetPoints, Settling};
use crate::numbers::{grouped, significant};
use crate::optics::drivers::Gated;
use toml::de::DeValue;

pub(super) const NAME: &str = "operating";

const MOST_ROWS: usize = 8;

/// Time constants after which a set point has arrived.
pub(crate) const TIME_CONSTANTS: f64 = 5.0;
const SET_POINTS: Key<Word<SetPoints>, SetPoints> = key(
    "set_points",
    Word(&[("own", SetPoints::Own), ("common", SetPoints::Common)]),
    SetPoints::Own,
);
const HYSTERESIS: Key<Hysteresis, u8> = key("hysteresis_percent", Hysteresis, 3);
const SETTLING_US: Key<Number, f64> = key("settling_us", from_to(0.0, 10_000.0, "us"), 0.0);
const BRIDGED: Key<Word<Settling>, Settling> = key(
    "settling",
    Word(&[
        ("dark pause", Settling::DarkPause),
        ("booked", Settling::Booked),
    ]),
    Settling::DarkPause,
);
const EDGE_CORRECTION: Key<Switch, bool> = key("edge_correction", Switch, true);
const LOWEST_LIGHT: Key<Number, f64> = key("lowest_light_percent", from_to(0.0, 10.0, "%"), 0.0);
const BELOW_LOWEST: Key<Word<BelowLowest>, BelowLowest> = key(
    "below_lowest",
    Word(&[("hold", BelowLowest::Hold), ("off", BelowLowest::Off)]),
    BelowLowest::Hold,
);
const ROWS: &str = "rows";
const KEYS: [&str; 8] = [
    SET_POINTS.name,
    HYSTERESIS.name,
    SETTLING_US.name,
    BRIDGED.name,
    EDGE_CORRECTION.name,
    LOWEST_LIGHT.name,
    BELOW_LOWEST.name,
    ROWS,
];

const FROM_LIGHT: Key<Number, Offer> =
    key("from_light_percent", from_to(0.0, 100.0, "%"), Offer("0.0"));
const RANGE_RATIO: Key<Number, f64> = key("range_ratio", from_to(1.0, 1_000.0, ""), 1.0);
const CURRENT_RATIO: Key<Number> = key("current_ratio", from_to(1.0, 1_000.0, ""), ());
const STRETCH: Key<Stretch, u8> = key("stretch", Stretch, 1);

/// 2^-shift of a row's light, shift 1 to 10.
struct Hysteresis;

impl Kind for Hysteresis {
    type Value = u8;

    fn read(&self, value: &DeValue<'_>) -> Result<u8, Refusal> {
        let percent = above_to(0.0, 50.0, "%").read(value)?;
        (1..=10)
            .find(|&shift| percent == 100.0 * 0.5_f64.powi(shift.into()))
            .ok_or(Refusal::Value)
    }

    fn allowed(&self) -> String {
        "50, 25, 12.5, 6.25, ... halved down to 0.09765625 % of the row's light".to_owned()
    }
}

/// Ticks of a decision.
pub(super) struct Stretch;

impl Kind for Stretch {
    type Value = u8;

    fn read(&self, value: &DeValue<'_>) -> Result<u8, Refusal> {
        let ticks = const { whole::<u8>(1, 16, "") }.read(value)?;
        ticks
            .is_power_of_two()
            .then_some(ticks)
            .ok_or(Refusal::Value)
    }

    fn allowed(&self) -> String {
        "1, 2, 4, 8 or 16 ticks a decision".to_owned()
    }
}

/// Yes or no.
struct Switch;

impl Kind for Switch {
    type Value = bool;

    fn read(&self, value: &DeValue<'_>) -> Result<bool, Refusal> {
        value.as_bool().ok_or(Refusal::Type)
    }

    fn allowed(&self) -> String {
        "true or false".to_owned()
    }
}

/// What holds for the whole luminaire, and the rows of the channels that have none of their own.
pub(super) fn read_common(root: &Table<'_>) -> Result<(Operating, Vec<OperatingRow>), Problem> {
    let table = root.table(NAME)?.unwrap_or_else(Table::empty);
    table.only(&KEYS)?;
    let operating = read_table(&table)?;
    let rows = read_rows(&table, ROWS)?.unwrap_or_else(|| vec![OperatingRow::PLAIN]);
    Ok((operating, rows))
}

/// What holds for a file that says nothing.
pub(super) fn defaults() -> Operating {
    read_table(&Table::empty()).expect("every key has a default")
}

fn read_table(table: &Table<'_>) -> Result<Operating, Problem> {
    Ok(Operating {
        set_points: table.take(&SET_POINTS)?,
        hysteresis_shift: table.take(&HYSTERESIS)?,
        settling_s: table.take(&SETTLING_US)? / 1e6,
        settling: table.take(&BRIDGED)?,
        edge_correction: table.take(&EDGE_CORRECTION)?,
        lowest_light: table.take(&LOWEST_LIGHT)? / 100.0,
        below_lowest: table.take(&BELOW_LOWEST)?,
    })
}

/// The rows of a channel, if it has its own.
pub(super) fn read_own(channel: &Table<'_>) -> Result<Option<Vec<OperatingRow>>, Problem> {
    read_rows(channel, NAME)
}

fn read_rows(table: &Table<'_>, name: &str) -> Result<Option<Vec<OperatingRow>>, Problem> {
    let Some(tables) = table.tables(name, 1..=MOST_ROWS)? else {
        return Ok(None);
    };
    let mut rows: Vec<OperatingRow> = Vec::with_capacity(tables.len());
    for table in &tables {
        let row = row(table)?;
        fits(table, rows.last(), &row)?;
        is_one_set_point(table, &rows, &row)?;
        rows.push(row);
    }
    if let (Some(table), Some(row)) = (tables.last(), rows.last())
        && row.range_ratio != 1.0
    {
        return Err(Problem::new("the last row does not reach full light")
            .about(table.path_of(RANGE_RATIO.name))
            .at(table.span_of(&RANGE_RATIO))
            .allowed("1 in the last row"));
    }
    if let (Some(table), Some(ratio)) =
        (tables.last(), rows.last().and_then(|row| row.current_ratio))
        && ratio != 1.0
    {
        return Err(Problem::new("the last row is not of the full current")
            .about(table.path_of(CURRENT_RATIO.name))
            .at(table.span_of(&CURRENT_RATIO))
            .allowed("1 in the last row, or no current_ratio"));
    }
    Ok(Some(rows))
}

/// The ratio of its light names a set point, and a set point has one current.
fn is_one_set_point(
    table: &Table<'_>,
    before: &[OperatingRow],
    row: &OperatingRow,
) -> Result<(), Problem> {
    let same = before
        .iter()
        .find(|other| other.range_ratio == row.range_ratio);
    match same {
        Some(other) if other.current_ratio != row.current_ratio => {
            let allowed = match other.current_ratio {
                Some(ratio) => format!("{ratio}, as the row before with this range_ratio has"),
                None => "none, as the row before with this range_ratio has".to_owned(),
            };
            Err(Problem::new("two rows of one set point have two currents")
                .about(table.path_of(CURRENT_RATIO.name))
                .at(table.span_of(&CURRENT_RATIO))
                .allowed(allowed))
        }
        _ => Ok(()),
    }
}

fn row(table: &Table<'_>) -> Result<OperatingRow, Problem> {
    table.only(&[
        FROM_LIGHT.name,
        RANGE_RATIO.name,
        CURRENT_RATIO.name,
        STRETCH.name,
    ])?;
    Ok(OperatingRow {
        from_light: table.need(&FROM_LIGHT)? / 100.0,
        range_ratio: table.take(&RANGE_RATIO)?,
        current_ratio: table.find(&CURRENT_RATIO)?,
        stretch: table.take(&STRETCH)?,
    })
}

/// The first row begins at no light, each later one above the one before and within what that reaches.
fn fits(
    table: &Table<'_>,
    before: Option<&OperatingRow>,
    row: &OperatingRow,
) -> Result<(), Problem> {
    let refused = |title: &str, allowed: String| {
        Err(Problem::new(title)
            .about(table.path_of(FROM_LIGHT.name))
            .at(table.span_of(&FROM_LIGHT))
            .allowed(allowed))
    };
    match before {
        None if row.from_light > 0.0 => {
            refused("the first row must begin at no light", "0 %".to_owned())
        }
        Some(before) if row.from_light <= before.from_light => {
            let percent = 100.0 * before.from_light;
            let allowed = format!("above {percent} %, where the row before begins");
            refused("the rows are out of order", allowed)
        }
        Some(before) if row.from_light * before.range_ratio > 1.0 => {
            let percent = 100.0 / before.range_ratio;
            let allowed = format!("at most {percent} %, the full light of the row before");
            refused("the row before does not reach this light", allowed)
        }
        _ => Ok(()),
    }
}

/// A set point must settle within what the core can bridge.
pub(super) fn fit_settling(
    root: &Table<'_>,
    operating: &Operating,
    tick_hz: u32,
) -> Result<(), Problem> {
    let most_ticks = match operating.settling {
        Settling::DarkPause => 32.0 * f64::from(u8::MAX),
        Settling::Booked => 32.0 * f64::from(u8::MAX) / TIME_CONSTANTS,
    };
    let most_us = most_ticks / f64::from(tick_hz) * 1e6;
    match root.table(NAME)? {
        Some(table) if operating.settling_s * 1e6 > most_us => {
            Err(Problem::new("`settling_us` is too long for `tick_hz`")
                .about(table.path_of(SETTLING_US.name))
                .at(table.span_of(&SETTLING_US))
                .allowed(format!(
                    "at most {} us at tick_hz = {}",
                    significant(most_us, 4),
                    grouped(tick_hz.into())
                )))
        }
        _ => Ok(()),
    }
}

/// No named rise may be longer than the shortest pulse: a decision.
pub(super) fn fit_drivers(
    root: &Table<'_>,
    tick_hz: u32,
    channels: &[Channel],
) -> Result<(), Problem> {
    let tick_s = 1.0 / f64::from(tick_hz);
    let tables = root
        .tables(super::channels::NAME, 1..=16)?
        .unwrap_or_default();
    for (channel, table) in channels.iter().zip(&tables) {
        for row in &channel.rows {
            Gated::new(&channel.driver, tick_s, row.stretch.into()).map_err(|error| {
                Problem::new(error.to_string())
                    .about(table.path_of(super::driver::NAME))
                    .at(table.value_span(super::driver::NAME))
                    .allowed(error.allowed())
            })?;
        }
    }
    Ok(())
}

/// Where one set point serves all channels, one row is in force for all.
pub(super) fn fit_together(
    root: &Table<'_>,
    operating: &Operating,
    channels: &[Channel],
) -> Result<(), Problem> {
    let rows = channels[0].rows.len();
    let other = channels
        .iter()
        .position(|channel| channel.rows.len() != rows);
    match (operating.set_points, other) {
        (SetPoints::Common, Some(index)) => {
            let tables = root.tables(super::channels::NAME, 1..=16)?;
            let mut problem =
                Problem::new("channels that share a set point need as many rows each");
            if let Some(table) = tables.as_ref().and_then(|tables| tables.get(index)) {
                problem = problem
                    .about(table.path_of(NAME))
                    .at(table.value_span(NAME));
            }
            let plural = if rows == 1 { "row" } else { "rows" };
            Err(problem.allowed(format!("{rows} {plural}, as the first channel has")))
        }
        _ => Ok(()),
    }
}
