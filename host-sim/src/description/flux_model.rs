//! What bin and temperature do to the flux of a channel.

use super::Problem;
use super::key::{Key, Offer, key};
use super::table::Table;
use super::value::{Number, above_to, from_to};
use crate::numbers::{grouped, significant};

const BIN_FACTOR: Key<Number, f64> = key("bin_factor", from_to(0.1, 3.0, ""), 1.0);
const K_PER_W: Key<Number> = key("thermal_k_per_w", above_to(0.0, 1_000.0, "K/W"), ());
const TIME_CONSTANT_S: Key<Number, f64> = key("time_constant_s", from_to(0.1, 10_000.0, "s"), 10.0);
const CELSIUS: Key<Number, Offer> = key("celsius", from_to(-60.0, 350.0, "°C"), Offer("25.0"));
const PERCENT: Key<Number, Offer> = key("percent", from_to(10.0, 300.0, "%"), Offer("100.0"));
const KNOTS: &str = "flux_over_temperature";

pub(super) const KEYS: [&str; 4] = [KNOTS, K_PER_W.name, TIME_CONSTANT_S.name, BIN_FACTOR.name];

/// The core's table has that many.
const MOST_KNOTS: usize = 8;
/// Degrees from knot to knot, and by how many a channel may warm itself: the core's limits.
const LEAST_APART: f64 = 0.5;
const MOST_RISE: f64 = 200.0;

/// Flux against bin and junction temperature, and how a channel warms its junction.
#[derive(Clone, Debug, PartialEq)]
pub struct FluxModel {
    /// Flux of the LEDs that are built in over `flux_lm`, 0.1 to 3. Default 1.
    pub bin_factor: f64,
    /// Junction temperature in °C, rising, and flux over the nominal one, 0.1 to 3: 1 to 8 knots; none where the file has none.
    pub knots: Vec<(f64, f64)>,
    /// Thermal resistance from board to junction in K/W; none where the file has none.
    pub thermal_k_per_w: Option<f64>,
    /// Time constant of the junction in seconds, 0.1 to 10 000. Default 10.
    pub time_constant_s: f64,
}

impl Default for FluxModel {
    fn default() -> Self {
        read(&Table::empty(), None).expect("every key may be left out")
    }
}

pub(super) fn read(table: &Table<'_>, power_w: Option<f64>) -> Result<FluxModel, Problem> {
    let thermal_k_per_w = table.find(&K_PER_W)?;
    let rise = power_w.unwrap_or(0.0) * thermal_k_per_w.unwrap_or(0.0);
    if rise > MOST_RISE {
        let title = format!("the channel warms itself by {} K", significant(rise, 3));
        return Err(Problem::new(title)
            .about(table.path_of(K_PER_W.name))
            .at(table.span_of(&K_PER_W))
            .allowed("power_w times thermal_k_per_w at most 200 K"));
    }
    Ok(FluxModel {
        bin_factor: table.take(&BIN_FACTOR)?,
        knots: knots(table)?,
        thermal_k_per_w,
        time_constant_s: table.take(&TIME_CONSTANT_S)?,
    })
}

fn knots(table: &Table<'_>) -> Result<Vec<(f64, f64)>, Problem> {
    let mut knots: Vec<(f64, f64)> = Vec::new();
    for knot in table.tables(KNOTS, 1..=MOST_KNOTS)?.unwrap_or_default() {
        knot.only(&[CELSIUS.name, PERCENT.name])?;
        let (celsius, percent) = (knot.need(&CELSIUS)?, knot.need(&PERCENT)?);
        if let Some(&(below, _)) = knots.last()
            && celsius - below < LEAST_APART
        {
            let least = grouped(below + LEAST_APART);
            return Err(Problem::new("the temperatures do not rise")
                .about(knot.path_of(CELSIUS.name))
                .at(knot.span_of(&CELSIUS))
                .allowed(format!(
                    "{least} °C or more, half a degree above the knot before"
                )));
        }
        knots.push((celsius, percent / 100.0));
    }
    Ok(knots)
}
