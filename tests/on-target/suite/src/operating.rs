//! Rows and tables of drivers at random, the rows of lights that wander, and their densities.

use fixed::types::U12F20;
use milliglow::density::{Edge, Modulation, Stretch};
use milliglow::operating::{EdgeLoss, EdgeTimes, RangeRatio, Row, RowSetting, Settling, Table};
use milliglow::{Error, Light};

use crate::random::Random;
use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    report("tables for first order", tables(11, Modulation::FirstOrder));
    report("tables that book", tables(12, Modulation::SecondOrder));
    report("stretches and edges", refused());
}

fn tables(start: u32, modulation: Modulation) -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(start));
    hash.word(modulation.books_edges().into());
    for _ in 0..400 {
        match table(&mut random, modulation) {
            Ok(table) => wander(&table, &mut random, &mut hash),
            Err(error) => hash.word(error.message().len() as u32),
        }
    }
    hash.value()
}

/// Three rows; many such tables are refused.
fn table(random: &mut Random, modulation: Modulation) -> Result<Table, Error> {
    let rows = [
        row(random, 0, 8, modulation)?,
        row(random, 1 << 28, 2, modulation)?,
        row(random, 1 << 30, 1, modulation)?,
    ];
    let hysteresis = random.next() as u8 % 18;
    let table = Table::new(&rows, hysteresis)?.with_settling(Settling::Dark { words: 2 });
    Ok(table)
}

/// From a light about `from`, with a full light of a little less than `1 / ratio`.
fn row(random: &mut Random, from: u32, ratio: u32, modulation: Modulation) -> Result<Row, Error> {
    let more = if ratio == 1 { 0 } else { random.next() % 400 };
    let setting = RowSetting {
        from_light: Light::from_bits(from - random.next() % (from / 8 + 1)),
        range: random.next() as u8,
        ratio: RangeRatio::from_ratio_nearest(1_000 * ratio + more, 1_000)?,
        stretch: Stretch::from_ticks(1 << (random.next() % 5))?,
        edges: edges(random)?,
    };
    Row::new(&setting, modulation)
}

fn edges(random: &mut Random) -> Result<EdgeLoss, Error> {
    if random.next().is_multiple_of(4) {
        let percent = (random.next() % 200).cast_signed() - 90;
        return EdgeLoss::from_ratio(percent, 100);
    }
    let mut picoseconds = || random.next() % 200_000;
    let times = EdgeTimes {
        rise_ps: picoseconds(),
        fall_ps: picoseconds(),
        on_delay_ps: picoseconds(),
        off_delay_ps: picoseconds(),
    };
    EdgeLoss::from_times(&times, 333_333)
}

fn wander(table: &Table, random: &mut Random, hash: &mut Hash) {
    let mut present = 0;
    for _ in 0..64 {
        let light = Light::from_bits(random.any_length());
        present = table.row(light, present);
        let row = table.at(present);
        hash.words([present.into(), row.density(light).to_bits()]);
        hash_row(row, hash);
    }
    hash.words([table.longest().ticks(), table.shortest_ticks()]);
    hash.words([
        table.rows().count() as u32,
        (table.settling() == Settling::AtOnce).into(),
    ]);
}

pub(crate) fn hash_row(row: &Row, hash: &mut Hash) {
    let decision = row.decision();
    hash.words([
        row.from_light().to_bits(),
        row.full().to_bits(),
        row.range().into(),
        row.ratio().to_bits(),
        decision.stretch.ticks(),
        decision.edge.to_bits().cast_unsigned(),
    ]);
}

fn refused() -> u32 {
    let mut hash = Hash::new();
    for ticks in 0..40 {
        hash.word(Stretch::from_ticks(ticks).map_or(99, Stretch::ticks));
    }
    let edges = [i32::MIN, i32::MIN + 1, -1, 0, i32::MAX];
    hash.words(edges.map(|bits| {
        Edge::from_bits(bits)
            .map_or(0, Edge::to_bits)
            .cast_unsigned()
    }));
    let ratios = [(0, 1), (1, 0), (1_024, 1), (1_025, 1), (3, 2)];
    hash.words(
        ratios.map(|(a, b)| RangeRatio::from_ratio_nearest(a, b).map_or(0, RangeRatio::to_bits)),
    );
    let fixed = [0, 1 << 20, 5 << 20 | 3, 1 << 30, 1 << 31].map(U12F20::from_bits);
    hash.words(fixed.map(|ratio| RangeRatio::from_fixed(ratio).map_or(0, RangeRatio::to_bits)));
    hash.word(EdgeLoss::from_ratio(17, 1).is_err().into());
    hash.word(
        EdgeLoss::from_times(&EdgeTimes::default(), 0)
            .is_err()
            .into(),
    );
    hash.value()
}
