//! What a luminaire asks of its microcontroller: RAM, cycles, transfers and time, by the project's ledger of a Cortex-M0.
//!
//! Nothing was measured on silicon. Every transfer is taken to stall the CPU, every channel to be in the row that costs most, and
//! a refill to wait for the other interrupts and for the control step in which all rows change.

mod ledger;
mod output;
mod streams;

pub use ledger::Timing;
pub use output::{Needs, needs};
pub use streams::cycles_a_tick;

use crate::description::{Chip, Description};

/// What the luminaire takes of a chip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget {
    /// RAM of the luminaire's state in bytes, stack and the rest of the program apart.
    pub luminaire_bytes: f64,
    /// What the way out asks for.
    pub needs: Needs,
    /// Clock in Hz.
    pub clock_hz: f64,
    /// Ticks a second.
    pub tick_hz: f64,
    /// How long a half of the buffer lasts, in seconds.
    pub half_s: f64,
    /// Cycles of a control step, and of one in which every row changes.
    pub control_cycles: f64,
    /// See there.
    pub longest_control_cycles: f64,
    /// Parts of the clock: streams and packing,
    pub streams_share: f64,
    /// control steps,
    pub control_share: f64,
    /// and transfers, in which the CPU stalls.
    pub transfers_share: f64,
    /// How long other interrupts and a control step keep a refill waiting, in seconds.
    pub waiting_s: f64,
    /// How long it takes to fill a half, stalls included, in seconds.
    pub filling_s: f64,
}

impl Budget {
    /// Of a luminaire on a chip.
    #[must_use]
    pub fn of(description: &Description, chip: &Chip) -> Self {
        let timing = timing(chip);
        let needs = needs(description, chip, timing);
        let (clock_hz, tick_hz) = (f64::from(chip.clock_hz), f64::from(description.tick_hz));
        let (control_cycles, longest_control_cycles) = control(description, timing);
        let transfers_share = needs.transfers_a_tick * tick_hz * chip.dma_cycles / clock_hz;
        let half_ticks = 32.0 * f64::from(chip.buffer_words);
        let half_s = half_ticks / tick_hz;
        let a_tick = needs.streams_a_tick + needs.packing_a_tick;
        // While a transfer is on, the CPU stands still; that no bus is left is judged by its share.
        let slowed = 1.0 / (1.0 - transfers_share).max(0.01);
        Self {
            luminaire_bytes: ledger::luminaire_bytes(description.channels.len()),
            needs,
            clock_hz,
            tick_hz,
            half_s,
            control_cycles,
            longest_control_cycles,
            streams_share: a_tick * tick_hz / clock_hz,
            control_share: control_cycles * f64::from(description.control_hz) / clock_hz,
            transfers_share,
            waiting_s: chip.interrupt_latency_s + slowed * longest_control_cycles / clock_hz,
            filling_s: slowed * a_tick * half_ticks / clock_hz,
        }
    }

    /// RAM of state and buffers in bytes.
    #[must_use]
    pub fn ram_bytes(&self) -> f64 {
        self.luminaire_bytes + self.needs.buffer_bytes
    }

    /// Part of the clock that the light takes.
    #[must_use]
    pub fn cpu_share(&self) -> f64 {
        self.streams_share + self.control_share + self.transfers_share
    }

    /// Halves that have to be filled a second.
    #[must_use]
    pub fn refill_hz(&self) -> f64 {
        1.0 / self.half_s
    }

    /// Halves that could be filled a second, beside the control steps.
    #[must_use]
    pub fn most_refill_hz(&self) -> f64 {
        (1.0 - self.control_share).max(0.0) / self.filling_s
    }

    /// How late a refill may begin, in seconds; below 0 where there is no time for it at all.
    #[must_use]
    pub fn slack_s(&self) -> f64 {
        self.half_s - self.filling_s
    }
}

/// Cycles a tick of all that a luminaire takes of the chip that its file describes; without one, of making the streams on a fast one.
#[must_use]
pub fn all_cycles_a_tick(description: &Description) -> f64 {
    match &description.chip {
        Some(chip) => {
            let budget = Budget::of(description, chip);
            budget.cpu_share() * budget.clock_hz / budget.tick_hz
        }
        None => cycles_a_tick(description, Timing::FAST),
    }
}

/// The timing of a chip.
#[must_use]
pub fn timing(chip: &Chip) -> Timing {
    Timing {
        wait_states: chip.wait_states,
        multiply_cycles: chip.multiply_cycles,
    }
}

/// Cycles of a control step, and of the longest.
fn control(description: &Description, timing: Timing) -> (f64, f64) {
    let channels = description.channels.len();
    let of = |item| timing.cycles_of_channels(item, channels);
    if description
        .channels
        .iter()
        .any(|channel| channel.rows.len() > 1)
    {
        (of("rows"), of("row_change"))
    } else {
        (of("control"), of("wake"))
    }
}
