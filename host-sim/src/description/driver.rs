//! A channel's `driver`: how its current follows the stream.

use super::Problem;
use super::key::{Key, Offer, key};
use super::table::Table;
use super::value::{Number, Word, above_to, from_to};
use crate::optics::drivers::{
    Buck, BuckFigures, Driver, DriverError, Exponential, ExponentialFigures, Shunt, ShuntFigures,
    Slew, SlewFigures,
};

pub(super) const NAME: &str = "driver";

#[derive(Clone, Copy)]
enum Form {
    Ideal,
    Slew,
    Exponential,
    Buck,
    Shunt,
}

const KIND: Key<Word<Form>, Offer> = key(
    "kind",
    Word(&[
        ("ideal", Form::Ideal),
        ("slew", Form::Slew),
        ("exponential", Form::Exponential),
        ("buck", Form::Buck),
        ("shunt", Form::Shunt),
    ]),
    Offer("\"slew\""),
);

const NS: Number = from_to(0.0, 1e6, "ns");

const RISE: Key<Number, f64> = key("rise_ns", NS, 0.0);
const FALL: Key<Number, f64> = key("fall_ns", NS, 0.0);
const RISE_CONSTANT: Key<Number, f64> = key("rise_constant_ns", NS, 0.0);
const FALL_CONSTANT: Key<Number, f64> = key("fall_constant_ns", NS, 0.0);
const TURN_ON_DELAY: Key<Number, f64> = key("turn_on_delay_ns", NS, 0.0);
const TURN_OFF_DELAY: Key<Number, f64> = key("turn_off_delay_ns", NS, 0.0);
const TURN_ON_CHARGE: Key<Number, f64> = key("turn_on_charge_ns", NS, 0.0);
const SAG: Key<Number, f64> = key("sag_percent", from_to(0.0, 100.0, "%"), 0.0);
const RECOVERY: Key<Number, f64> = key("recovery_ns", above_to(0.0, 1e6, "ns"), 1_000.0);
const SENSITIVITY: Key<Number, f64> = key("line_sensitivity", from_to(-10.0, 10.0, ""), 0.0);
const SUPPLY: Key<Number, Offer> = key("supply_v", above_to(0.0, 1e3, "V"), Offer("24.0"));
const STRING: Key<Number, Offer> = key("string_v", above_to(0.0, 1e3, "V"), Offer("9.6"));
const STRING_OHM: Key<Number, f64> = key("string_ohm", from_to(0.0, 1e3, "ohm"), 0.0);
const DIODE: Key<Number, f64> = key("diode_v", from_to(0.0, 10.0, "V"), 0.0);
const INDUCTANCE: Key<Number, Offer> =
    key("inductance_uh", from_to(0.01, 1e6, "uH"), Offer("47.0"));
const OUTPUT: Key<Number, f64> = key("output_nf", from_to(0.0, 1e7, "nF"), 0.0);
const SET_POINT: Key<Number, Offer> =
    key("peak_set_point_a", from_to(1e-6, 1e3, "A"), Offer("0.5"));
const OFF_TIME: Key<Number, Offer> = key("off_time_ns", from_to(1.0, 1e6, "ns"), Offer("2_000.0"));
const COMPARATOR_DELAY: Key<Number, f64> = key("comparator_delay_ns", NS, 0.0);

/// The driver of a channel; ideal where none is written.
pub(super) fn read(channel: &Table<'_>) -> Result<Driver, Problem> {
    let Some(table) = channel.table(NAME)? else {
        return Ok(Driver::Ideal);
    };
    match table.need(&KIND)? {
        Form::Ideal => table.only(&[KIND.name]).map(|()| Driver::Ideal),
        Form::Slew => slew(&table),
        Form::Exponential => exponential(&table),
        Form::Buck => buck(&table),
        Form::Shunt => shunt(&table),
    }
}

fn seconds(table: &Table<'_>, key: &Key<Number, f64>) -> Result<f64, Problem> {
    Ok(table.take(key)? / 1e9)
}

fn slew(table: &Table<'_>) -> Result<Driver, Problem> {
    let delays = [TURN_ON_DELAY.name, TURN_OFF_DELAY.name];
    let [on, off] = delays;
    let charge = TURN_ON_CHARGE.name;
    table.only(&[
        KIND.name,
        RISE.name,
        FALL.name,
        on,
        off,
        charge,
        SENSITIVITY.name,
    ])?;
    let figures = SlewFigures {
        rise_s: seconds(table, &RISE)?,
        fall_s: seconds(table, &FALL)?,
        turn_on_delay_s: seconds(table, &TURN_ON_DELAY)?,
        turn_off_delay_s: seconds(table, &TURN_OFF_DELAY)?,
        turn_on_charge_s: seconds(table, &TURN_ON_CHARGE)?,
        line_sensitivity: table.take(&SENSITIVITY)?,
    };
    possible(table, Slew::new(figures)).map(Driver::Slew)
}

fn exponential(table: &Table<'_>) -> Result<Driver, Problem> {
    let edges = [RISE_CONSTANT.name, FALL_CONSTANT.name];
    let [rise, fall] = edges;
    let (on, off) = (TURN_ON_DELAY.name, TURN_OFF_DELAY.name);
    table.only(&[KIND.name, rise, fall, on, off, SENSITIVITY.name])?;
    let figures = ExponentialFigures {
        rise_constant_s: seconds(table, &RISE_CONSTANT)?,
        fall_constant_s: seconds(table, &FALL_CONSTANT)?,
        turn_on_delay_s: seconds(table, &TURN_ON_DELAY)?,
        turn_off_delay_s: seconds(table, &TURN_OFF_DELAY)?,
        line_sensitivity: table.take(&SENSITIVITY)?,
    };
    possible(table, Exponential::new(figures)).map(Driver::Exponential)
}

const BUCK_KEYS: [&str; 10] = [
    KIND.name,
    SUPPLY.name,
    STRING.name,
    STRING_OHM.name,
    DIODE.name,
    INDUCTANCE.name,
    OUTPUT.name,
    SET_POINT.name,
    OFF_TIME.name,
    COMPARATOR_DELAY.name,
];

fn buck(table: &Table<'_>) -> Result<Driver, Problem> {
    table.only(&BUCK_KEYS)?;
    let figures = BuckFigures {
        supply_v: table.need(&SUPPLY)?,
        string_v: table.need(&STRING)?,
        string_ohm: table.take(&STRING_OHM)?,
        diode_v: table.take(&DIODE)?,
        inductance_h: table.need(&INDUCTANCE)? / 1e6,
        output_f: table.take(&OUTPUT)? / 1e9,
        set_a: table.need(&SET_POINT)?,
        off_time_s: table.need(&OFF_TIME)? / 1e9,
        delay_s: seconds(table, &COMPARATOR_DELAY)?,
    };
    possible(table, Buck::new(figures)).map(Driver::Buck)
}

fn shunt(table: &Table<'_>) -> Result<Driver, Problem> {
    let (on, off) = (TURN_ON_DELAY.name, TURN_OFF_DELAY.name);
    let (sag, recovery) = (SAG.name, RECOVERY.name);
    table.only(&[
        KIND.name,
        RISE.name,
        FALL.name,
        on,
        off,
        sag,
        recovery,
        SENSITIVITY.name,
    ])?;
    let figures = ShuntFigures {
        rise_s: seconds(table, &RISE)?,
        fall_s: seconds(table, &FALL)?,
        turn_on_delay_s: seconds(table, &TURN_ON_DELAY)?,
        turn_off_delay_s: seconds(table, &TURN_OFF_DELAY)?,
        sag: table.take(&SAG)? / 100.0,
        recovery_s: seconds(table, &RECOVERY)?,
        line_sensitivity: table.take(&SENSITIVITY)?,
    };
    possible(table, Shunt::new(figures)).map(Driver::Shunt)
}

/// What the driver refuses, at the key that would mend it.
fn possible<T>(table: &Table<'_>, driver: Result<T, DriverError>) -> Result<T, Problem> {
    driver.map_err(|error| {
        let (name, span) = match error {
            DriverError::StringAboveSupply { .. } => (STRING.name, table.span_of(&STRING)),
            DriverError::OffTimeBelowDelay { .. } | DriverError::LosesSetPoint { .. } => {
                (OFF_TIME.name, table.span_of(&OFF_TIME))
            }
            DriverError::CapacitorWithoutResistance
            | DriverError::Figure {
                name: "string resistance",
                ..
            } => (STRING_OHM.name, table.span_of(&STRING_OHM)),
            _ => (KIND.name, table.span.clone()),
        };
        let problem = Problem::new(error.to_string()).about(table.path_of(name));
        problem.at(span).allowed(error.allowed())
    })
}
