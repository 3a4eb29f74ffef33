//! The adaptive filter of a slot of 8 bits.

use super::runs::Runs;
use super::straight::{ONE, Straight};
use super::way::Way;

/// Most packets that it looks ahead.
const FARTHEST: u32 = 31;

/// So many packets of rest or more are no creep.
const REST: u8 = 63;

/// Farther than any line of two steps a packet goes in 64 packets.
const BEYOND: i32 = 512 * ONE;

/// A slot moves on straight lines, each the middle of all that round to its values: that is known to a few hundredths of a step, and
/// there is no staircase.
///
/// The light is given some packets late, so that the next line is known before its corner comes. Where both meet ahead, it goes on
/// to that place: the corner is sharp, and as exact as both lines, whatever packets were lost there. Where they do not, it goes over to the
/// next line within some ten packets.
#[derive(Clone, Debug)]
pub(super) struct Creep {
    runs: Runs,
    /// The line of the newest values.
    next: Straight,
    out: Way,
    /// From the newest packet to what is given, in half packets.
    delay: u8,
    /// The most that it grows to.
    longest: u8,
}

/// A step of a slot in a value of 32 bits.
pub(super) const STEP: u32 = 0x0101_0101;

impl Creep {
    /// At rest, and with no delay yet.
    pub(super) const fn at(value: u8) -> Self {
        let next = Straight::at(value);
        Self {
            runs: Runs::at(value),
            next,
            out: Way::on(next),
            delay: 0,
            longest: 0,
        }
    }

    /// The longest delay in half packets, for one in ms and packets `interval_us` apart, to the nearest.
    pub(super) const fn longest(creep_ms: u16, interval_us: u32) -> u8 {
        let packets = match interval_us {
            0 => 0,
            us => (creep_ms as u32 * 1_000 + us / 2) / us,
        };
        let packets = if packets < FARTHEST {
            packets
        } else {
            FARTHEST
        };
        2 * packets as u8
    }

    /// The slot in a packet, `packets` after the last one that came or was stood in for, having gone by `way` since, where a creep
    /// goes by `most` at most.
    pub(super) fn follow(&mut self, value: u8, way: u32, most: u32, packets: u8, longest: u8) {
        let runs = way > most;
        if runs && (way / 2 > most || self.is_flat()) {
            *self = Self::at(value);
            return;
        }
        // What jitter makes of the measured time is no reason to move.
        if longest.abs_diff(self.longest) > 2 || self.is_flat() {
            self.longest = longest;
        }
        self.pass(packets);
        self.see(value);
        self.go(packets, runs);
    }

    /// Whether it stands still for so long that the next step may be of any kind.
    fn is_flat(&self) -> bool {
        self.runs.count() == 1 || self.runs.ago(0).first >= REST
    }

    /// A packet does not come, or `packets` that lack the slot: when they are more than a quarter of what it looks ahead, the last value
    /// stands for them.
    pub(super) fn hold(&mut self, packets: u8) {
        self.pass(packets);
        let run = self.runs.ago(0);
        if run.last > self.delay / 8 {
            self.see(run.value);
        }
        self.go(packets, false);
    }

    fn pass(&mut self, packets: u8) {
        self.runs.pass(packets);
        // A line that no packet bounds.
        let here = self.next.here + self.next.slope * i32::from(packets);
        self.next.here = here.clamp(-BEYOND, BEYOND);
    }

    /// The line is drawn anew when a run begins or lasts for longer than it says.
    fn see(&mut self, value: u8) {
        if self.runs.see(value) || self.next.off(value, 0).abs() > ONE / 2 {
            self.plan();
        }
    }

    /// The line of the newest values; if no way leads there, as in a bend, that of values from half or a quarter as far ahead.
    fn plan(&mut self) {
        let ahead = self.delay / 2;
        let mut from = 0;
        for near in [ahead, ahead / 2, ahead / 4] {
            while from + 1 < self.runs.count() && self.runs.ago(from).last < ahead - near {
                from += 1;
            }
            if from > 0 && self.runs.ago(from).last > ahead {
                return;
            }
            self.next = Straight::of(&self.runs, from, ahead);
            if self.out.leads_on(&self.next, &self.runs, from, self.delay) {
                return;
            }
        }
    }

    /// The delay grows by half a packet in each, so that the creep goes on at half its pace meanwhile, and shrinks by a whole one
    /// when the slot runs.
    fn go(&mut self, packets: u8, runs: bool) {
        let before = self.delay + 2 * packets;
        self.delay = if runs || self.delay > self.longest {
            self.delay.saturating_sub(2 * packets)
        } else {
            (self.delay + packets).min(self.longest)
        };
        self.out.go(&self.next, &self.runs, before, self.delay);
    }

    /// Where it is, over the whole of 32 bits.
    pub(super) const fn out(&self) -> u32 {
        self.out.place()
    }
}
