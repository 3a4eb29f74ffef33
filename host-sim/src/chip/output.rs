//! What each way out takes: RAM, cycles of the CPU, transfers.

use super::ledger::Timing;
use super::streams::{cycles_a_tick, duty};
use crate::description::{Channel, Chip, Description, Modulation, Output};

/// Ticks of a transfer to a shift output.
const SHIFTED: f64 = 16.0;

/// What one way out asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Needs {
    /// Bytes of the double buffer.
    pub buffer_bytes: f64,
    /// Cycles a tick of making the streams, or the duties.
    pub streams_a_tick: f64,
    /// Cycles a tick of bringing them into the form that is put out.
    pub packing_a_tick: f64,
    /// Transfers a tick.
    pub transfers_a_tick: f64,
}

/// What the chip's way out asks for.
#[must_use]
pub fn needs(description: &Description, chip: &Chip, timing: Timing) -> Needs {
    let channels = description.channels.len() as f64;
    let half_ticks = 32.0 * f64::from(chip.buffer_words);
    let streams_a_tick = cycles_a_tick(description, timing);
    match chip.output {
        Output::Port => Needs {
            buffer_bytes: 2.0 * half_ticks * if channels > 8.0 { 2.0 } else { 1.0 },
            streams_a_tick,
            packing_a_tick: timing.packing(description.channels.len()),
            transfers_a_tick: 1.0,
        },
        Output::Shift => Needs {
            buffer_bytes: 2.0 * channels * half_ticks / 8.0,
            streams_a_tick,
            packing_a_tick: 0.0,
            transfers_a_tick: channels / SHIFTED,
        },
        Output::Timer => {
            let each = description.channels.iter();
            let each = each.map(|channel| on_timer(description, channel, half_ticks, timing));
            each.fold(NOTHING, Needs::and)
        }
    }
}

const NOTHING: Needs = Needs {
    buffer_bytes: 0.0,
    streams_a_tick: 0.0,
    packing_a_tick: 0.0,
    transfers_a_tick: 0.0,
};

impl Needs {
    fn and(self, other: Self) -> Self {
        Self {
            buffer_bytes: self.buffer_bytes + other.buffer_bytes,
            streams_a_tick: self.streams_a_tick + other.streams_a_tick,
            packing_a_tick: self.packing_a_tick + other.packing_a_tick,
            transfers_a_tick: self.transfers_a_tick + other.transfers_a_tick,
        }
    }
}

/// A timer that makes PWM takes two bytes a period; one that goes from run to run, at worst, two bytes a decision.
fn on_timer(
    description: &Description,
    channel: &Channel,
    half_ticks: f64,
    timing: Timing,
) -> Needs {
    let shortest = channel.rows.iter().map(|row| row.stretch).min();
    let (entry_ticks, streams_a_tick) = match channel.modulation {
        Modulation::Timer { bits, .. } => {
            let period = f64::from(1_u32 << bits);
            (period, duty(channel.modulation, timing) / period)
        }
        _ => {
            let alone = Description {
                channels: vec![channel.clone()],
                ..description.clone()
            };
            let ticks = f64::from(shortest.unwrap_or(1));
            (ticks, cycles_a_tick(&alone, timing))
        }
    };
    Needs {
        buffer_bytes: 2.0 * 2.0 * (half_ticks / entry_ticks).ceil(),
        streams_a_tick,
        packing_a_tick: 0.0,
        transfers_a_tick: 1.0 / entry_ticks,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::{BUILT_IN, parse};

    fn needs_with(output: Output, modulation: Option<Modulation>) -> Needs {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        if let Some(modulation) = modulation {
            for channel in &mut cove.channels {
                channel.modulation = modulation;
            }
        }
        let chip = Chip {
            output,
            ..cove.chip.unwrap()
        };
        needs(&cove, &chip, Timing::FAST)
    }

    /// Five channels, halves of 512 ticks.
    #[test]
    fn buffers_and_transfers_of_each_way_out() {
        let port = needs_with(Output::Port, None);
        assert_eq!((port.buffer_bytes, port.transfers_a_tick), (1_024.0, 1.0));
        let shift = needs_with(Output::Shift, None);
        assert_eq!(shift.buffer_bytes, 640.0);
        assert_eq!(shift.transfers_a_tick, 5.0 / 16.0);
        assert!(shift.packing_a_tick == 0.0 && port.packing_a_tick > 0.0);
        // Each tick may be a run of its own.
        let runs = needs_with(Output::Timer, None);
        assert_eq!((runs.buffer_bytes, runs.transfers_a_tick), (10_240.0, 5.0));
        assert!((runs.streams_a_tick - port.streams_a_tick).abs() < 1e-9);
        let pwm = Modulation::Timer {
            bits: 8,
            order: 1,
            width_shift: None,
        };
        let pwm = needs_with(Output::Timer, Some(pwm));
        assert_eq!(pwm.buffer_bytes, 5.0 * 8.0);
        assert_eq!(pwm.transfers_a_tick, 5.0 / 256.0);
        assert!((pwm.streams_a_tick - 5.0 * Timing::FAST.cycles("next_duty") / 256.0).abs() < 1e-9);
    }
}
