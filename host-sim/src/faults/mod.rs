//! Faults by the dozen: a luminaire on a bus runs its log over and over while frames, time, buffers, temperature and images
//! go wrong, and what must hold is watched in every control step.
//!
//! Faults are drawn by a pseudo-random source of a fixed start: the same luminaire gives the same table. Every round of the
//! log but the last has faults; after the last the light must be where it is without any.

mod bench;
mod ear;
mod firmware;
mod inject;
mod kinds;
mod packets;
mod periods;
mod pipe;
mod row;
mod traffic;
mod watch;

pub use kinds::FaultKind;

use crate::description::{Bus, BusKind, Description};
use crate::metrics::flashes::HAZARDOUS_HZ;

/// Faulty seconds of a kind, at least: ten kinds and more make a thousand.
const SECONDS: f64 = 110.0;

/// Rounds with faults, at least: some kinds come once in each.
const LEAST_ROUNDS: u32 = 8;

/// Control steps by which a fade may end off its time.
pub(crate) const OFF_TIME_STEPS: f64 = 1.0;

/// What a fault run gave.
#[derive(Clone, Debug, PartialEq)]
pub struct Faults {
    /// One a kind.
    pub rows: Vec<FaultRow>,
    /// Largest modulation below 90 Hz that is allowed, as a fraction.
    pub modulation_limit: f64,
}

/// One kind of fault.
#[derive(Clone, Debug, PartialEq)]
pub struct FaultRow {
    /// Which.
    pub kind: FaultKind,
    /// Seconds with faults.
    pub seconds: f64,
    /// Faults injected.
    pub injected: u64,
    /// What the firmware can read: the counter's name and its value.
    pub counters: Vec<(&'static str, u64)>,
    /// Control steps with a light outside the limits that is not off.
    pub outside: u64,
    /// Control steps that moved further than the command allows.
    pub jumps: u64,
    /// Largest time by which a fade ended off its time, in control steps; what the control clock still had to make up, or left out, is taken off.
    pub off_time_steps: f64,
    /// Largest modulation below 90 Hz in 3 s, over the light without the fault, as a fraction.
    pub below_90_hz: f64,
    /// Rate of the fastest four flashes in a row, in Hz.
    pub flashes_hz: f64,
    /// Whether the light was where it should be after a round without faults.
    pub recovered: bool,
}

impl FaultRow {
    /// Whether all held.
    #[must_use]
    pub fn survived(&self, modulation_limit: f64) -> bool {
        self.outside == 0
            && self.jumps == 0
            && self.off_time_steps <= OFF_TIME_STEPS
            && self.below_90_hz <= modulation_limit
            && self.flashes_hz <= HAZARDOUS_HZ
            && self.recovered
    }
}

impl Faults {
    /// Faulty seconds in all.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.rows.iter().map(|row| row.seconds).sum()
    }

    /// Whether every kind was survived.
    #[must_use]
    pub fn survived(&self) -> bool {
        let limit = self.modulation_limit;
        self.rows.iter().all(|row| row.survived(limit))
    }
}

/// Runs all kinds; none for a luminaire that is on no bus. `progress` hears the fraction that is done.
#[must_use]
pub fn faults(description: &Description, mut progress: impl FnMut(f64)) -> Option<Faults> {
    let bus = description.bus.as_ref()?;
    let kinds = match bus.kind {
        BusKind::Iec62386(_) => &FaultKind::OF_GEAR[..],
        BusKind::Dmx512(_) => &FaultKind::OF_SLOTS,
    };
    let rounds = rounds(bus);
    let rows = kinds.iter().enumerate().map(|(k, &kind)| {
        progress(k as f64 / kinds.len() as f64);
        bench::run(description, bus, kind, rounds)
    });
    Some(Faults {
        rows: rows.collect(),
        modulation_limit: description.requirements.seizure,
    })
}

/// Rounds of the log, the last one without faults.
fn rounds(bus: &Bus) -> u32 {
    ((SECONDS / bus.seconds).ceil() as u32).max(LEAST_ROUNDS) + 1
}
