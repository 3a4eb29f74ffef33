//! Rows of operating tables for tests; all figures are invented.

use milliglow::Light;
use milliglow::density::{Modulation, Stretch};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting, Table};
use proptest::collection::vec;
use proptest::prelude::*;

/// A row with this ratio of light, stretch and edge loss in ticks, in thousandths.
pub fn row(
    from_light: Light,
    ratio: u32,
    stretch: Stretch,
    loss: i32,
    modulation: Modulation,
) -> Row {
    let setting = RowSetting {
        from_light,
        range: ratio as u8,
        ratio: RangeRatio::from_ratio_nearest(ratio, 1).expect("an allowed ratio"),
        stretch,
        edges: EdgeLoss::from_ratio(loss, 1_000).expect("an allowed loss"),
    };
    Row::new(&setting, modulation).expect("an allowed row")
}

/// All stretches.
pub fn stretches() -> impl Strategy<Value = Stretch> {
    (0..=4_u32).prop_map(|shift| Stretch::from_ticks(1 << shift).expect("a power of two"))
}

/// Edge losses in thousandths of a tick, less than one decision of any stretch.
pub fn losses() -> impl Strategy<Value = i32> {
    prop_oneof![Just(0), Just(300), -950..=950]
}

/// 2 to 8 rows of falling ratio, the last of 1, in any stretch; each begins below the full light of the one before.
pub fn tables(modulation: Modulation) -> impl Strategy<Value = Table> {
    vec((1_u32..=32, stretches(), 0.05..0.95), 1..8).prop_map(move |mut drawn| {
        drawn.sort_by_key(|row| std::cmp::Reverse(row.0));
        drawn.push((1, drawn[0].1, 0.5));
        let (mut from, mut rows) = (0, Vec::new());
        for (ratio, stretch, part) in drawn {
            rows.push(row(Light::from_bits(from), ratio, stretch, 0, modulation));
            let reach = rows[rows.len() - 1].full().to_bits();
            from += 1 + (f64::from(reach - from - 1) * part) as u32;
        }
        Table::new(&rows, 5).expect("rows in order")
    })
}
