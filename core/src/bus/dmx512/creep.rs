//! The adaptive filter of a slot of 8 bits.

use super::runs::Runs;
use super::straight::{ONE, Straight};

/// Most packets that it looks ahead.
const FARTHEST: u32 = 31;

/// So many packets of rest or more are no creep.
const REST: u8 = 63;

/// Farther than any line of two steps a packet goes in 64 packets.
const BEYOND: i32 = 512 * ONE;

/// In how many half packets it goes over to a line that it does not meet.
const EASE: i32 = 32;

/// And how much of it in any packet, so that it comes there.
const LEAST: i32 = ONE / 1024;

/// How far from a slot's value, in both directions, the light may be.
const FAR: i32 = ONE * 3 / 4;

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
    /// Where the light is, and by how much it goes on in a packet.
    out: i32,
    slope: i32,
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
            out: next.here,
            slope: 0,
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

    const fn pass(&mut self, packets: u8) {
        self.runs.pass(packets);
        // A line that no packet bounds.
        let here = self.next.here + self.next.slope * packets as i32;
        self.next.here = between(-BEYOND, here, BEYOND);
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
            if self.leads_on(from) {
                return;
            }
        }
    }

    /// Whether the way to the next line and on it stays near the slot's values, up to those of a run.
    fn leads_on(&self, from: u8) -> bool {
        let ahead = self.delay / 2;
        let here = Straight {
            here: self.out + self.slope * i32::from(self.delay) / 2,
            slope: self.slope,
        };
        let meets = self.meets(self.delay);
        let rises = self.next.slope > self.slope;
        (from..self.runs.count()).all(|back| {
            let run = self.runs.ago(back);
            [run.last, run.first].into_iter().all(|ago| {
                let next = self.next.off(run.value, ago);
                let off = match (meets, rises) {
                    (false, _) => next,
                    (true, true) => next.max(here.off(run.value, ago)),
                    (true, false) => next.min(here.off(run.value, ago)),
                };
                ago > ahead || off.abs() <= FAR
            })
        })
    }

    /// Whether it comes to the next line if it goes on, being so many half packets behind.
    const fn meets(&self, delay: u8) -> bool {
        let off = self.next.ago(delay) - self.out;
        let bend = self.next.slope - self.slope;
        off.signum() * bend.signum() < 0 && off.abs() / (FARTHEST as i32 + 1) < bend.abs()
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
        let place = self.out + self.way(before, i32::from(before - self.delay));
        self.out = self.within(place);
    }

    /// How far it goes in so many half packets, at whose begin it was behind by `before`.
    fn way(&mut self, before: u8, halves: i32) -> i32 {
        if halves == 0 {
            return 0;
        }
        let bend = (self.next.slope - self.slope) * halves / 2;
        let on = self.slope * halves / 2;
        let off = self.next.ago(self.delay) - self.out - on;
        let meets = self.meets(before);
        if meets && off.signum() * bend.signum() < 0 {
            return on;
        }
        self.slope = self.next.slope;
        if meets {
            // At once, what it has bent since.
            return on + off.clamp(-bend.abs(), bend.abs());
        }
        let rest = off - bend;
        let least = rest.clamp(-LEAST, LEAST);
        on + bend + least + (rest - least) / EASE * halves.min(EASE)
    }

    /// Between where it was and what rounds to one of the last values, and within a slot.
    fn within(&self, place: i32) -> i32 {
        let values = (0..self.runs.count()).map(|back| i32::from(self.runs.ago(back).value) * ONE);
        let (least, most) = values.fold((self.out, self.out), |(least, most), value| {
            (least.min(value - ONE / 2), most.max(value + ONE / 2))
        });
        between(least.max(0), place, most.min(255 * ONE))
    }

    /// Where it is, over the whole of 32 bits.
    pub(super) const fn out(&self) -> u32 {
        let out = self.out as u32;
        (out << 8) + out + (out >> 8) + (out >> 16)
    }
}

const fn between(least: i32, place: i32, most: i32) -> i32 {
    if place < least {
        least
    } else if place > most {
        most
    } else {
        place
    }
}
