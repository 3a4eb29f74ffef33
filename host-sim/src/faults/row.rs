//! What a bench has to tell of its kind of fault.

use super::bench::Bench;
use super::ear::Ear;
use super::pipe::Pipe;
use super::{FaultKind, FaultRow};

impl Bench<'_> {
    pub(super) fn row(&self, recovered: bool, rounds: u32) -> FaultRow {
        FaultRow {
            kind: self.kind,
            seconds: f64::from(rounds - 1) * self.bus.seconds,
            injected: self.injected,
            counters: self.counters(),
            outside: self.watch.outside,
            jumps: self.watch.jumps,
            off_time_steps: self.watch.off_time,
            below_90_hz: self.watch.below_90_hz,
            flashes_hz: self.watch.flashes_hz(),
            recovered,
        }
    }

    fn counters(&self) -> Vec<(&'static str, u64)> {
        let (frames, overflows) = match &self.firmware.ear {
            Ear::Gear(gear, queue) => (gear.counts(), queue.overflows()),
            Ear::Slots(_) => Default::default(),
        };
        let (packets, clock) = (self.firmware.ear.packets(), self.clock.counts());
        match self.kind {
            FaultKind::Flipped => vec![
                ("taken", frames.taken.into()),
                ("others", frames.others.into()),
                ("unknown", frames.unknown.into()),
            ],
            FaultKind::Lost | FaultKind::Doubled => vec![("taken", frames.taken.into())],
            FaultKind::Late => vec![
                ("taken", frames.taken.into()),
                ("single", frames.single.into()),
            ],
            FaultKind::Overflow => vec![("overflows", overflows.into())],
            FaultKind::TimeJump => vec![("jumps", clock.jumps.into())],
            FaultKind::Missed | FaultKind::MissedHeld => vec![
                ("late", clock.late.into()),
                ("dropped", clock.dropped.into()),
            ],
            FaultKind::Underrun => {
                let underruns = self.pipe.as_ref().map_or(0, Pipe::underruns);
                vec![("underruns", underruns)]
            }
            FaultKind::Temperature => vec![("lost_inputs", self.firmware.lost_inputs())],
            FaultKind::Image => vec![("refused", self.refused_images)],
            FaultKind::LatePackets
            | FaultKind::LostPackets
            | FaultKind::FlippedSlots
            | FaultKind::PowerCut => vec![("taken", packets.taken.into())],
            FaultKind::ShortPackets => vec![("short", packets.short.into())],
            FaultKind::Foreign => vec![("foreign", packets.foreign.into())],
            FaultKind::LongPackets | FaultKind::EarlyPackets => {
                vec![("refused", packets.refused.into())]
            }
            FaultKind::Silence => vec![("losses", packets.losses.into())],
        }
    }
}
