//! What making the streams costs, from the ledger's fills of 32 words.
//!
//! What the ledger does not hold is estimated: decisions of 2, 8 and 16 ticks from those of 1 and 4, and the spreading of decisions of other
//! modulations as that of first order.

use super::ledger::Timing;
use crate::description::{Channel, Description, Modulation, OperatingRow};

/// Ticks of the ledger's fills.
const FILLED: f64 = 32.0 * 32.0;

/// Cycles a tick for all channels together, each in the row that costs most.
#[must_use]
pub fn cycles_a_tick(description: &Description, timing: Timing) -> f64 {
    let channels = description.channels.iter();
    channels.map(|of| channel(of, timing)).sum()
}

fn channel(channel: &Channel, timing: Timing) -> f64 {
    let rows = channel.rows.iter();
    rows.map(|row| in_row(channel.modulation, row, timing))
        .fold(0.0, f64::max)
}

/// Of a decision of k ticks one k-th of its cycles, and the spreading.
fn in_row(modulation: Modulation, row: &OperatingRow, timing: Timing) -> f64 {
    let decision = match modulation {
        Modulation::FirstOrder => timing.cycles("first_order_fill_32") / FILLED,
        Modulation::Dithered { .. } => timing.cycles("dithered_fill_32") / FILLED,
        Modulation::SecondOrder => timing.cycles("second_order_fill_32_half") / FILLED,
        Modulation::Timer { bits, .. } => {
            // Its words are nearly all ones or none.
            let words = timing.cycles("first_order_fill_32_full") / FILLED;
            return duty(modulation, timing) / f64::from(1_u32 << bits) + words;
        }
    };
    let spreading = match row.stretch {
        1 => 0.0,
        _ => spreading(timing),
    };
    decision / f64::from(row.stretch) + spreading
}

/// Cycles of the next duty of a timer.
pub(super) fn duty(modulation: Modulation, timing: Timing) -> f64 {
    match modulation {
        Modulation::Timer { order: 2, .. } => timing.cycles("next_duty_second_order"),
        _ => timing.cycles("next_duty"),
    }
}

/// Cycles a tick of making ticks of decisions that last several.
fn spreading(timing: Timing) -> f64 {
    let plain = timing.cycles("first_order_fill_32");
    (timing.cycles("first_order_fill_32_stretch_4") - plain / 4.0) / FILLED
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cycles(modulation: Modulation, stretch: u8) -> f64 {
        let row = OperatingRow {
            stretch,
            ..OperatingRow::PLAIN
        };
        in_row(modulation, &row, Timing::FAST)
    }

    #[test]
    fn what_the_ledger_holds_comes_out() {
        let ledger = |item: &str| Timing::FAST.cycles(item) / FILLED;
        let first = Modulation::FirstOrder;
        assert!((cycles(first, 1) - ledger("first_order_fill_32")).abs() < 1e-9);
        assert!((cycles(first, 4) - ledger("first_order_fill_32_stretch_4")).abs() < 1e-9);
        assert!(cycles(first, 2) > cycles(first, 4) && cycles(first, 4) > cycles(first, 16));
    }

    #[test]
    fn a_timer_costs_least_and_first_order_less_than_others() {
        let timer = Modulation::Timer {
            bits: 8,
            order: 1,
            width_shift: None,
        };
        assert!(cycles(timer, 1) < cycles(Modulation::FirstOrder, 1));
        let dithered = Modulation::Dithered { width_shift: 0 };
        assert!(cycles(Modulation::FirstOrder, 1) < cycles(dithered, 1));
        assert!(cycles(Modulation::FirstOrder, 1) < cycles(Modulation::SecondOrder, 1));
    }
}
