//! Operating tables of an invented driver, for luminaires here and in the ledger.

use milliglow::density::{Modulation, Stretch};
use milliglow::operating::{EdgeLoss, EdgeTimes, RangeRatio, Row, RowSetting, Settling, Table};
use milliglow::{Error, Light, constant};

/// Edges of a 3 MHz stream, 333 333 ps a tick.
const EDGES: EdgeLoss = constant!(EdgeLoss::from_times(
    &EdgeTimes {
        rise_ps: 200_000,
        fall_ps: 80_000,
        on_delay_ps: 10_000,
        off_delay_ps: 0,
    },
    333_333,
));

const SETTINGS: [RowSetting; 3] = [
    RowSetting {
        from_light: Light::BLACK,
        range: 2,
        ratio: constant!(RangeRatio::from_ratio_nearest(161, 10)),
        stretch: Stretch::One,
        edges: EDGES,
    },
    RowSetting {
        from_light: constant!(Light::from_ratio_nearest(3, 100)),
        range: 1,
        ratio: constant!(RangeRatio::from_ratio_nearest(4, 1)),
        stretch: Stretch::Two,
        edges: EDGES,
    },
    RowSetting {
        from_light: constant!(Light::from_ratio_nearest(15, 100)),
        range: 0,
        ratio: RangeRatio::ONE,
        stretch: Stretch::Four,
        edges: EDGES,
    },
];

const fn table(modulation: Modulation) -> Result<Table, Error> {
    let mut rows = [Row::PLAIN; 3];
    let mut k = 0;
    while k < rows.len() {
        rows[k] = match Row::new(&SETTINGS[k], modulation) {
            Ok(row) => row,
            Err(error) => return Err(error),
        };
        k += 1;
    }
    Table::new(&rows, 4)
}

/// For first order, whose edges are corrected in closed form; set points are there at once.
pub static CORRECTED: Table = constant!(table(Modulation::FirstOrder));

/// The same, dark while a set point moves.
pub static DARK: Table = constant!(table(Modulation::FirstOrder)).with_settling(SETTLES_DARK);

/// For the other modulations, which book their edges; a set point takes its time.
pub static BOOKED: Table = constant!(table(Modulation::SecondOrder)).with_settling(SETTLES_BOOKED);

const SETTLES_DARK: Settling = Settling::Dark { words: 2 };
const SETTLES_BOOKED: Settling = Settling::Booked {
    ticks: 20,
    words: 3,
};
