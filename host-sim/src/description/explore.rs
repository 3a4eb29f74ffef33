//! `[explore]`: what the design search may vary.

use super::key::{Key, key};
use super::modulation::{DitherWidth, TimerBits};
use super::operating::Stretch;
use super::table::Table;
use super::value::{Kind, List, Number, Numbers, Whole, above_to, from_to, whole};
use super::{Explore, Problem};

pub(super) const NAME: &str = "explore";

const CHIP_HZ: Key<Whole> = key("chip_hz", whole(1_000_000, 1_000_000_000, "Hz"), ());
const TICK_HZ_MIN: Key<Whole> = key("tick_hz_min", TICK_HZ, ());
const TICK_HZ_MAX: Key<Whole> = key("tick_hz_max", TICK_HZ, ());
const ORDERS: Key<List<Whole<u8>>> = key("orders", list(whole(0, 2, ""), 3), ());
const DITHER_STEPS: Key<List<DitherWidth>> = key("dither_steps", list(DitherWidth, 10), ());
const TIMER_BITS: Key<List<TimerBits>> = key("timer_bits", list(TimerBits, 10), ());
const STRETCHES: Key<List<Stretch>> = key("stretches", list(Stretch, 5), ());
const STRETCH_FROM: Key<Numbers> = key("stretch_from_percent", list(PERCENT, 16), ());
const RANGE_RATIOS: Key<Numbers> = key("range_ratios", list(from_to(1.0, 1_000.0, ""), 16), ());
const LOWER_RANGE_BELOW: Key<Numbers> = key("lower_range_below_percent", list(PERCENT, 16), ());
const EDGE_FACTORS: Key<Numbers> = key("edge_factors", list(above_to(0.0, 100.0, ""), 16), ());

const TICK_HZ: Whole = whole(1_000, 100_000_000, "Hz");
const PERCENT: Number = above_to(0.0, 99.0, "%");

const KEYS: [&str; 11] = [
    CHIP_HZ.name,
    TICK_HZ_MIN.name,
    TICK_HZ_MAX.name,
    ORDERS.name,
    DITHER_STEPS.name,
    TIMER_BITS.name,
    STRETCHES.name,
    STRETCH_FROM.name,
    RANGE_RATIOS.name,
    LOWER_RANGE_BELOW.name,
    EDGE_FACTORS.name,
];

const fn list<K>(each: K, most: usize) -> List<K> {
    List { each, most }
}

pub(super) fn read(root: &Table<'_>) -> Result<Explore, Problem> {
    read_table(&root.table(NAME)?.unwrap_or_else(Table::empty))
}

fn read_table(table: &Table<'_>) -> Result<Explore, Problem> {
    table.only(&KEYS)?;
    Ok(Explore {
        chip_hz: table.find(&CHIP_HZ)?,
        tick_hz_min: table.find(&TICK_HZ_MIN)?,
        tick_hz_max: table.find(&TICK_HZ_MAX)?,
        orders: listed(table, &ORDERS, &[1, 2])?,
        dither_shifts: listed(table, &DITHER_STEPS, &[None])?,
        timer_bits: listed(table, &TIMER_BITS, &[None])?,
        stretches: listed(table, &STRETCHES, &[1, 2, 4, 8, 16])?,
        stretch_from_percent: listed(table, &STRETCH_FROM, &[5.0, 20.0])?,
        range_ratios: table.find(&RANGE_RATIOS)?,
        lower_range_below_percent: listed(table, &LOWER_RANGE_BELOW, &[80.0])?,
        edge_factors: listed(table, &EDGE_FACTORS, &[1.0])?,
    })
}

/// A list, or what holds without one.
fn listed<K: Kind>(
    table: &Table<'_>,
    key: &Key<List<K>>,
    missing: &[K::Value],
) -> Result<Vec<K::Value>, Problem> {
    Ok(table.find(key)?.unwrap_or_else(|| missing.to_vec()))
}

impl Default for Explore {
    fn default() -> Self {
        read_table(&Table::empty()).expect("every key has a default")
    }
}
