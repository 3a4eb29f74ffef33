//! What makes a packet, and the time between packets.

/// Most slots after the START code. *Source*: ANSI E1.11 (two sources agree).
pub const SLOTS: usize = 512;

/// Shortest time from break to break that a receiver takes, in µs. *Source*: 24 slots by the edition of 1990 (seen); as E1.11's figure for
/// receivers from memory.
pub const SHORTEST_US: u32 = 1_196;

/// Longest time from break to break, in µs. *Source*: ANSI E1.11 for receivers (from memory).
pub const LONGEST_US: u32 = 1_250_000;

/// Why a packet was refused; nothing but a count has changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Refusal {
    /// Not even a START code.
    Empty,
    /// Another START code than 0: not for dimmers.
    StartCode(u8),
    /// More than 512 slots.
    TooLong,
    /// Less than [`SHORTEST_US`] after the packet before.
    TooSoon,
}

/// Refuses what is no packet of dimmer data.
pub(super) const fn judge(packet: &[u8]) -> Result<(), Refusal> {
    match packet {
        [] => Err(Refusal::Empty),
        [0, ..] if packet.len() > SLOTS + 1 => Err(Refusal::TooLong),
        [0, ..] => Ok(()),
        [code, ..] => Err(Refusal::StartCode(*code)),
    }
}

/// The time from break to break, as measured.
#[derive(Clone, Debug)]
pub(super) struct Interval {
    last_us: u32,
    /// Running mean over about eight packets; 0 before the second packet.
    mean_us: u32,
    /// How many times in a row were so long that packets seem to be lost.
    long: u8,
    /// When the last packet would have come without jitter.
    beat_us: u32,
}

/// So many long times in a row are no loss, but a console that has become slower.
const SLOWER: u8 = 5;

impl Interval {
    pub(super) const NONE: Self = Self {
        last_us: 0,
        mean_us: 0,
        long: 0,
        beat_us: 0,
    };

    pub(super) const fn us(&self) -> u32 {
        self.mean_us
    }

    /// How many intervals ago the last packet came, to the nearest, for a packet at `at_us`: 1 unless some were lost.
    pub(super) const fn elapsed(&self, at_us: u32) -> u32 {
        self.in_time(at_us.wrapping_sub(self.last_us))
    }

    /// How many intervals are in a time, to the nearest.
    pub(super) const fn in_time(&self, us: u32) -> u32 {
        match self.mean_us {
            0 => 1,
            mean => us.saturating_add(mean / 2) / mean,
        }
    }

    pub(super) const fn is_too_soon(&self, at_us: u32) -> bool {
        at_us.wrapping_sub(self.last_us) < SHORTEST_US
    }

    /// The time from the last packet to when the next one should come.
    pub(super) const fn to_next_us(&self) -> u32 {
        (self.beat_us.wrapping_add(self.mean_us)).wrapping_sub(self.last_us)
    }

    /// A packet came, the first one after `silence` or `elapsed` intervals after the last one.
    pub(super) const fn take(&mut self, at_us: u32, elapsed: u32, silence: bool) {
        self.measure(at_us, silence);
        let due_us = self
            .beat_us
            .wrapping_add(elapsed.wrapping_mul(self.mean_us));
        let late = at_us.wrapping_sub(due_us).cast_signed();
        self.beat_us = if silence || late.unsigned_abs() >= self.mean_us / 2 {
            at_us
        } else {
            // An eighth, rounded down.
            due_us.wrapping_add((late >> 3).cast_unsigned())
        };
    }

    const fn measure(&mut self, at_us: u32, silence: bool) {
        let time = at_us.wrapping_sub(self.last_us);
        self.last_us = at_us;
        if silence || time > LONGEST_US {
            return;
        }
        let quarter = self.mean_us / 4;
        self.long = if time > self.mean_us + 2 * quarter {
            self.long + 1
        } else {
            0
        };
        if self.mean_us == 0 || time < self.mean_us - quarter || self.long == SLOWER {
            self.mean_us = time;
            self.long = 0;
        } else if self.long == 0 && time > self.mean_us {
            self.mean_us += (time - self.mean_us) / 8;
        } else if self.long == 0 {
            self.mean_us -= (self.mean_us - time) / 8;
        }
    }
}
