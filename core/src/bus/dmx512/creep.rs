//! The adaptive filter of a slot of 8 bits.

/// Packets that are remembered.
const MEMORY: usize = 64;

/// Most packets from the newest to the middle of the window.
const FARTHEST: u32 = 31;

/// Widest flank of the window, in half packets.
const FLANK: u8 = 32;

/// How fast the window widens and narrows, in half packets a packet.
const WIDER: u8 = 2;
const NARROWER: u8 = 6;

/// So many packets of a bend by 2 are no lost packet, but a corner.
const CORNER: u8 = 5;

/// A weighted mean of the last packets, the same on both sides of its middle: a straight creep stays straight whatever its width,
/// and all that it does to it is a delay.
///
/// What a straight line rounds to bends by at most 1 between any three places as far apart, by 2 if packets were lost. Where it
/// bends by more is a corner, and the window ends well before: corners stay sharp, and there is no ripple between them.
#[derive(Clone, Debug)]
pub(super) struct Creep {
    /// The slot in the last packets, round and round.
    memory: [u8; MEMORY],
    newest: u8,
    /// From the newest packet to the middle of the window, in half packets.
    delay: u8,
    /// The most that it grows to.
    longest: u8,
    /// Half the window, likewise.
    half: u8,
    /// A slot's step over the sum of the weights.
    scale: u32,
}

/// A step of a slot in a value of 32 bits.
pub(super) const STEP: u32 = 0x0101_0101;

impl Creep {
    /// At rest, and with no delay yet.
    pub(super) const fn at(value: u8) -> Self {
        Self {
            memory: [value; MEMORY],
            newest: 0,
            delay: 0,
            longest: 0,
            half: 0,
            scale: 0,
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
        } else {
            self.take(value, packets, longest, runs);
        }
    }

    /// The delay grows by half a packet in each, so that the creep goes on at half its pace meanwhile, and shrinks by a whole one
    /// when the slot runs.
    fn take(&mut self, value: u8, packets: u8, longest: u8, runs: bool) {
        // What jitter makes of the measured time is no reason to move.
        if longest.abs_diff(self.longest) > 2 || self.is_flat() {
            self.longest = longest;
        }
        self.hold(packets);
        self.set(value);
        self.delay = if runs || self.delay > self.longest {
            self.delay.saturating_sub(packets.saturating_mul(2))
        } else {
            self.delay.saturating_add(packets).min(self.longest)
        };
        self.half = self.next_half();
        let sum: u32 = self.sides().map(|(weight, _)| u32::from(weight)).sum();
        self.scale = STEP / sum.max(1);
    }

    /// Whether it is the same in all packets that are remembered.
    fn is_flat(&self) -> bool {
        let last = self.ago(0);
        self.memory.iter().all(|&value| value == last)
    }

    /// Packets stay away: the last value stands for them.
    pub(super) fn hold(&mut self, packets: u8) {
        for _ in 0..packets {
            let last = self.ago(0);
            self.newest = self.newest.wrapping_add(1) % MEMORY as u8;
            self.set(last);
        }
    }

    /// Where it is, over the whole of 32 bits.
    pub(super) fn out(&self) -> u32 {
        let middle = self.ago(self.delay / 2);
        let parts = self.sides().map(|(weight, pair)| {
            let off = pair.map(|value| i32::from(value) - i32::from(middle));
            i32::from(weight) * (off[0] + off[1])
        });
        let off = parts.sum::<i32>() / 2;
        let part = off.unsigned_abs() * self.scale;
        let base = u32::from(middle) * STEP;
        if off < 0 {
            base.saturating_sub(part)
        } else {
            base.saturating_add(part)
        }
    }

    const fn set(&mut self, value: u8) {
        self.memory[self.newest as usize % MEMORY] = value;
    }

    const fn ago(&self, packets: u8) -> u8 {
        self.memory[self.newest.wrapping_sub(packets) as usize % MEMORY]
    }

    /// The values at so many half packets to both sides of the middle.
    const fn pair(&self, away: u8) -> [u8; 2] {
        [
            self.ago((self.delay.saturating_sub(away)) / 2),
            self.ago((self.delay + away) / 2),
        ]
    }

    /// Towards its reach, and never beyond the newest packet.
    fn next_half(&self) -> u8 {
        let least = self.half.saturating_sub(NARROWER);
        let half = self.reach().min(self.half + WIDER).max(least);
        half.min(self.delay).max(self.delay % 2)
    }

    /// Half the widest window without a corner in it, in half packets.
    fn reach(&self) -> u8 {
        let bend = |away| {
            let [early, late] = self.pair(away).map(u16::from);
            let [one, other] = self.middle().map(u16::from);
            (early + late).abs_diff(one + other)
        };
        let (mut straight, mut bent) = (0, 0);
        for away in (self.delay % 2..=self.delay).step_by(2) {
            match bend(away) {
                0 | 1 => (straight, bent) = (away, 0),
                2 if bent + 1 < CORNER => bent += 1,
                _ => return straight / 4 + straight / 8,
            }
        }
        self.delay
    }

    const fn middle(&self) -> [u8; 2] {
        [self.ago(self.delay / 2), self.ago(self.delay.div_ceil(2))]
    }

    /// The weights of the window from its middle outwards, each for the mean of the values on both sides.
    fn sides(&self) -> impl Iterator<Item = (u8, [u8; 2])> {
        let flank = (self.half / 2 + self.half / 4).clamp(2, FLANK);
        let places = (self.delay % 2..=self.half).step_by(2);
        places.map(move |away| {
            let weight = (self.half + 2 - away).min(flank);
            (weight << u8::from(away != 0), self.pair(away))
        })
    }
}
