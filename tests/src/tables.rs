//! Rows of operating tables for tests; all figures are invented.

use milliglow::Light;
use milliglow::density::{Modulation, Stretch};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting};
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
