//! The CIE 1931 standard observer for fields of 2 degrees, as a table.

use std::sync::OnceLock;

const TABLE: &str = include_str!("../../data/cie_1931_2deg_1nm.csv");

/// How the standard observer sees light of one wavelength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// Wavelength in nm.
    pub wavelength_nm: f64,
    /// Colour-matching function x-bar.
    pub x_bar: f64,
    /// Colour-matching function y-bar, the luminous efficiency V(lambda).
    pub y_bar: f64,
    /// Colour-matching function z-bar.
    pub z_bar: f64,
}

/// The observer from 360 to 830 nm in steps of 1 nm.
///
/// Source: CIE 018:2019 and CIE 15 tables (see the head of `host-sim/data/cie_1931_2deg_1nm.csv`).
#[must_use]
pub fn standard_observer() -> &'static [Observed] {
    static ROWS: OnceLock<Vec<Observed>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let mut table = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_reader(TABLE.as_bytes());
        table
            .records()
            .map(|row| observed(&row.expect("a table row")))
            .collect()
    })
}

fn observed(row: &csv::StringRecord) -> Observed {
    let number = |column: usize| row[column].parse().expect("a number in the table");
    Observed {
        wavelength_nm: number(0),
        x_bar: number(1),
        y_bar: number(2),
        z_bar: number(3),
    }
}
