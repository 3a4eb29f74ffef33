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
    /// The last two times, the later first; 0 for none yet.
    times_us: [u32; 2],
}

impl Interval {
    pub(super) const NONE: Self = Self {
        last_us: 0,
        times_us: [0; 2],
    };

    /// The shorter of the last two, so that a packet lost on the way does not stretch it; 0 before the second packet.
    pub(super) const fn us(&self) -> u32 {
        let [late, early] = self.times_us;
        if early != 0 && early < late {
            early
        } else {
            late
        }
    }

    /// How many intervals ago the last packet came, to the nearest, for a packet at `at_us`: 1 unless some were lost.
    pub(super) const fn elapsed(&self, at_us: u32) -> u32 {
        match self.us() {
            0 => 1,
            interval => {
                let time = at_us.wrapping_sub(self.last_us);
                time.saturating_add(interval / 2) / interval
            }
        }
    }

    pub(super) const fn is_too_soon(&self, at_us: u32) -> bool {
        at_us.wrapping_sub(self.last_us) < SHORTEST_US
    }

    /// A packet came, the first one after `silence` or the next one.
    pub(super) const fn take(&mut self, at_us: u32, silence: bool) {
        let time = at_us.wrapping_sub(self.last_us);
        if !silence && time <= LONGEST_US {
            self.times_us = [time, self.times_us[0]];
        }
        self.last_us = at_us;
    }
}
