//! The second-order modulator's state, read off its stream, against the published bound.

use milliglow::density::{Density, Modulation};
use milliglow_tests::data::{Row, rows};
use milliglow_tests::stream::{Ledger, PULSE};

const HALF_A_PULSE: u32 = 1 << 31;

/// The largest input of the quantiser over 400 000 ticks, on a scale from -1 to 1.
///
/// Started without error, what is owed after a tick is e1 - e2; its running sum is e1, and the input x + 2 e1 - e2.
fn largest_input(row: &Row) -> f64 {
    let density =
        Density::from_bits(((row.parsed::<f64>("dc_0_to_1") * 65_536.0).round() as u32) << 16);
    let x = density.as_f64();
    let owed = Ledger::new(Modulation::SecondOrder, HALF_A_PULSE, 1).owed(density, 12_500);
    let (mut sum, mut largest) = (0.0, 0.0_f64);
    for owed in owed {
        let charge = owed as f64 / PULSE as f64;
        sum += charge;
        largest = largest.max((2.0 * (x + charge + sum) - 1.0).abs());
    }
    largest
}

#[test]
fn within_the_bound_and_as_large_as_observed() {
    for row in rows("density_second_order_state.csv") {
        let largest = largest_input(&row);
        let (observed, bound): (f64, f64) = (
            row.parsed("max_abs_quantiser_input_pm1"),
            row.parsed("bound_pm1"),
        );
        // Limit cycles of 16-bit densities are shorter than those of the table's, of a prime modulus: down to 0.57 of it.
        assert!(
            (observed / 2.0..=bound).contains(&largest),
            "{}: {largest}",
            row.text("dc_0_to_1")
        );
    }
}
