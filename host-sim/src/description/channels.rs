//! `[[channels]]`: the LEDs.

use super::driver;
use super::key::{Key, Offer, key};
use super::modulation::{self, Common};
use super::table::Table;
use super::value::{Number, Text, above_to, from_to};
use super::{Channel, OperatingRow, Problem, flux_model, led, operating};
use crate::colour::{Xy, is_real};

pub(super) const NAME: &str = "channels";

const OWN_NAME: Key<Text, Offer> = key("name", IDENTIFIER, Offer("\"white\""));
const FLUX_LM: Key<Number, Offer> = key("flux_lm", above_to(0.0, 1e6, "lm"), Offer("500.0"));
const X: Key<Number, Offer> = key("x", from_to(0.0, 1.0, ""), Offer("0.44"));
const Y: Key<Number, Offer> = key("y", above_to(0.0, 1.0, ""), Offer("0.4"));
const POWER_W: Key<Number> = key("power_w", above_to(0.0, 10_000.0, "W"), ());

const IDENTIFIER: Text = Text {
    longest: 30,
    fits: |text| {
        !text.is_empty()
            && text
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
    },
    allowed: "1 to 30 of the letters a to z and A to Z, digits, - and _",
};

const EXAMPLE: &str = "[[channels]]\nname = \"white\"\nflux_lm = 500.0\nx = 0.44\ny = 0.4";

pub(super) fn read(root: &Table<'_>, rows: &[OperatingRow]) -> Result<Vec<Channel>, Problem> {
    let common = modulation::read_common(root)?;
    let tables = root
        .tables(NAME, 1..=16)?
        .ok_or_else(|| root.missing(NAME, EXAMPLE))?;
    let mut channels: Vec<Channel> = Vec::new();
    for table in &tables {
        let channel = channel(table, common, rows)?;
        if channels.iter().any(|other| other.name == channel.name) {
            return Err(
                Problem::new(format!("a second channel is named `{}`", channel.name))
                    .about(table.path_of(OWN_NAME.name))
                    .at(table.span_of(&OWN_NAME))
                    .allowed("a name that no other channel has"),
            );
        }
        channels.push(channel);
    }
    Ok(channels)
}

fn channel(table: &Table<'_>, common: Common, rows: &[OperatingRow]) -> Result<Channel, Problem> {
    let own = [OWN_NAME.name, FLUX_LM.name, X.name, Y.name, POWER_W.name];
    table.only(
        &[
            &own[..],
            &flux_model::KEYS,
            &led::KEYS,
            &modulation::KEYS,
            &[driver::NAME, operating::NAME],
        ]
        .concat(),
    )?;
    let name = table.need(&OWN_NAME)?;
    let flux_lm = table.need(&FLUX_LM)?;
    let (x, y) = (table.need(&X)?, table.need(&Y)?);
    if !is_real(Xy { x, y }) {
        return Err(Problem::new(format!(
            "no real light has the chromaticity ({x}, {y}) of `{name}`"
        ))
        .about(table.path_of(X.name))
        .at(table.span_of(&X))
        .allowed("x and y inside the CIE 1931 spectral locus closed by the purple line"));
    }
    let power_w = table.find(&POWER_W)?;
    let modulation = modulation::read_own(table, common)?;
    let driver = driver::read(table)?;
    Ok(Channel {
        name,
        flux_lm,
        x,
        y,
        power_w,
        flux_model: flux_model::read(table, power_w)?,
        light_decay: led::decay(table)?,
        over_current: led::over_current(table, Xy { x, y })?,
        modulation,
        driver,
        rows: operating::read_own(table)?.unwrap_or_else(|| rows.to_vec()),
    })
}
