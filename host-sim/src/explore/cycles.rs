//! What making the streams costs a small chip: an estimate.
//!
//! Constants are from the project's ledger of a Cortex-M0 (an instruction-level interpreter, cycles of the published table, no
//! wait states, no real silicon): cycles a bit of the word kernels, and what spreading a decision over several ticks adds.
//! Kernels that copy or skip words at a constant density cost less; what pushes the words out is not in it.

use crate::description::{Channel, Description, Modulation, OperatingRow};

/// Cycles a bit: first order, with dither, second order in safe code.
const FIRST_ORDER: f64 = 2.5;
const DITHERED: f64 = 3.8;
const SECOND_ORDER: f64 = 12.9;
/// Cycles a timer's period takes for its next duty: our guess, not measured.
const TIMER_PERIOD: f64 = 60.0;

/// Cycles a tick for all channels together, each in the row that costs most.
#[must_use]
pub fn cycles_a_tick(description: &Description) -> f64 {
    description.channels.iter().map(channel).sum()
}

fn channel(channel: &Channel) -> f64 {
    let rows = channel.rows.iter();
    rows.map(|row| in_row(channel.modulation, row))
        .fold(0.0, f64::max)
}

/// Of a decision of k ticks one k-th of its cycles, and the spreading.
fn in_row(modulation: Modulation, row: &OperatingRow) -> f64 {
    let decision = match modulation {
        Modulation::FirstOrder => FIRST_ORDER,
        Modulation::Dithered { .. } => DITHERED,
        Modulation::SecondOrder => SECOND_ORDER,
        Modulation::Timer { bits, .. } => return TIMER_PERIOD / f64::from(1_u32 << bits),
    };
    decision / f64::from(row.stretch) + spreading(row.stretch)
}

/// Cycles a tick of a word kernel with so many ticks a decision, less those of its decisions.
fn spreading(stretch: u8) -> f64 {
    match stretch {
        1 => 0.0,
        2 => 0.73,
        4 => 0.62,
        _ => 0.26,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cycles(modulation: Modulation, stretch: u8) -> f64 {
        in_row(
            modulation,
            &OperatingRow {
                stretch,
                ..OperatingRow::PLAIN
            },
        )
    }

    /// Cycles a tick measured with 32 words a call: k and figure, from the ledger.
    #[test]
    fn stretched_first_order_is_within_a_tenth_of_the_ledger() {
        for (stretch, measured) in [(1, 2.5), (2, 2.18), (4, 1.35), (8, 0.62), (16, 0.44)] {
            let estimate = cycles(Modulation::FirstOrder, stretch);
            assert!(
                (estimate / measured - 1.0).abs() < 0.1,
                "{stretch}: {estimate} {measured}"
            );
        }
    }

    #[test]
    fn a_timer_costs_least_and_second_order_most() {
        let timer = Modulation::Timer {
            bits: 8,
            order: 1,
            width_shift: None,
        };
        assert!(cycles(timer, 1) < cycles(Modulation::FirstOrder, 16));
        let dithered = Modulation::Dithered { width_shift: 0 };
        assert!(cycles(Modulation::FirstOrder, 1) < cycles(dithered, 1));
        assert!(cycles(dithered, 1) < cycles(Modulation::SecondOrder, 1));
    }
}
