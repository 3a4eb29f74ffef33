//! The lines that values move on between packets.

use super::creep::{Creep, STEP};
use super::packet::Interval;
use super::{Configuration, Row, Width};
use crate::fade::{Fade, Pace};

/// A line that creeps is drawn over so many packets, until the next one renews it.
const REACH: u32 = 4;

/// A line that no packet began takes three quarters of the time to where the next one should come, and as many packets of it.
const LATE: u32 = REACH - 1;

/// Room below 0 for lines that go on: values take the middle half of 32 bits.
const ROOM: u32 = 1 << 30;

/// Longest way of a packet on a line that goes on: a step and a half.
const LONGEST: u32 = STEP / 4 * 3;

/// N values on their lines.
#[derive(Clone, Debug)]
pub(super) struct Lines<const N: usize> {
    ramp: Fade<N>,
    /// What the last packets said, over the whole of 32 bits.
    told: [u32; N],
    creeps: [Creep; N],
    /// How far lines that go on come in a packet; ways down wrap.
    ways: [u32; N],
    /// Of lines that no packet began.
    pace: Pace,
    /// With so many control steps left, a packet has not come.
    missing_at: u32,
    /// Whether they go on over packets that are lost.
    goes_on: bool,
    /// Packets that did not come and were stood in for.
    stood_in: u8,
}

impl<const N: usize> Lines<N> {
    /// Values that stand still, 65 535 for full.
    pub(super) const fn at(values: &[u16; N]) -> Self {
        let (mut told, mut places) = ([0; N], [0; N]);
        let mut creeps = [const { Creep::at(0) }; N];
        let mut k = 0;
        while k < N {
            told[k] = values[k] as u32 * 0x0001_0001;
            places[k] = inner(told[k]);
            creeps[k] = Creep::at((values[k] >> 8) as u8);
            k += 1;
        }
        Self {
            ramp: Fade::at(places),
            told,
            creeps,
            ways: [0; N],
            pace: Pace::AT_ONCE,
            missing_at: 0,
            goes_on: false,
            stood_in: 0,
        }
    }

    pub(super) fn places(&self) -> [u32; N] {
        self.ramp.values().map(outer)
    }

    /// One control step.
    pub(super) fn step(&mut self, rows: &[Row; N]) {
        self.ramp.step();
        if self.goes_on && self.ramp.remaining() <= self.missing_at {
            self.stand_in(rows);
        }
    }

    /// Sends every value on its way to what a packet says, `elapsed` intervals after the last one, or 0 after a silence. Whether
    /// the packet lacks a value.
    pub(super) fn aim(
        &mut self,
        configuration: &Configuration<N>,
        packet: &[u8],
        elapsed: u32,
        interval: &Interval,
    ) -> bool {
        let longest = Creep::longest(configuration.creep_ms, interval.us());
        let packets = (elapsed.min(64) as u8).saturating_sub(self.stood_in);
        // A slot may have crept in packets that were lost as well.
        let most = elapsed.min(4) * STEP;
        let (mut is_short, mut creeps) = (false, true);
        let rows = configuration.rows.iter().zip(&mut self.told);
        for ((row, told), creep) in rows.zip(&mut self.creeps) {
            let Some(value) = row.read(packet) else {
                is_short = true;
                if row.width == Width::Coarse {
                    creep.hold(packets);
                }
                continue;
            };
            let way = value.abs_diff(*told);
            *told = value;
            creeps &= way <= most;
            if row.width == Width::Coarse {
                creep.follow(value.to_be_bytes()[0], way, most, packets, longest);
            }
        }
        self.stood_in = 0;
        // What a packet lacks goes on as if it were lost.
        if !(is_short && creeps && self.goes_on) {
            self.set_out(configuration, creeps, interval);
        }
        is_short
    }

    /// A fade of so many control steps, whatever packets said.
    pub(super) fn fade(&mut self, values: &[u16; N], steps: u32) {
        *self = Self {
            ramp: self.ramp.clone(),
            ..Self::at(values)
        };
        let aims = self.told.map(inner);
        self.ramp.start(&aims, Pace::new(steps));
    }

    /// A creep goes on, once it is no farther than a packet's way off. Anything else ends within a packet, and before the next.
    fn set_out(&mut self, configuration: &Configuration<N>, creeps: bool, interval: &Interval) {
        let mut aims = self.aims(&configuration.rows);
        let hz = configuration.control_hz.into();
        let is_short = |(aim, place): (&u32, u32)| aim.abs_diff(place) <= LONGEST;
        self.goes_on =
            creeps && interval.us() != 0 && aims.iter().zip(self.ramp.iter()).all(is_short);
        let pace = if self.goes_on {
            let nearest = |us| control_steps(us, 2 * hz).div_ceil(2).max(1);
            let beat = nearest(interval.us());
            let steps = nearest(interval.to_next_us()).max(beat / 2);
            for ((aim, place), way) in aims.iter_mut().zip(self.ramp.iter()).zip(&mut self.ways) {
                *way = aim.wrapping_sub(place);
                *aim = beyond(place, *way, REACH);
            }
            self.pace = Pace::new(LATE * beat);
            self.missing_at = LATE * steps - beat / 4;
            Pace::new(REACH * steps)
        } else {
            Pace::new(control_steps(interval.us(), hz))
        };
        self.ramp.start(&aims, pace);
    }

    /// A quarter of an interval after it should, a packet has not come. What creeps with a delay goes where it would have gone with it; other
    /// lines go on, and come back to what was said last when three have not come.
    fn stand_in(&mut self, rows: &[Row; N]) {
        self.stood_in = self.stood_in.saturating_add(1);
        let is_lost = u32::from(self.stood_in) >= REACH;
        let coarse = |row: &Row| row.width == Width::Coarse;
        let creeps = self.creeps.iter_mut().zip(rows);
        creeps
            .filter(|(_, row)| coarse(row))
            .for_each(|(creep, _)| creep.hold(1));
        let told = self.told.map(inner);
        let mut aims = self.aims(rows);
        self.goes_on = !is_lost || aims != told;
        if self.goes_on {
            let ways = self.ramp.iter().zip(self.ways).zip(rows);
            for (aim, ((place, way), row)) in aims.iter_mut().zip(ways) {
                if coarse(row) {
                    *aim = beyond(place, shortened(aim.wrapping_sub(place)), REACH);
                } else if !is_lost {
                    *aim = beyond(place, way, LATE);
                }
            }
            self.missing_at = self.pace.steps() / LATE * (LATE - 1);
        }
        self.ramp.start(&aims, self.pace);
    }

    fn aims(&self, rows: &[Row; N]) -> [u32; N] {
        let mut aims = self.told.map(inner);
        for ((aim, row), creep) in aims.iter_mut().zip(rows).zip(&self.creeps) {
            if row.width == Width::Coarse {
                *aim = inner(creep.out());
            }
        }
        aims
    }
}

/// Rounded down.
const fn control_steps(us: u32, hz: u32) -> u32 {
    // The product of µs and rate can take more than 32 bits.
    let (ms, rest) = (us / 1_000, us % 1_000);
    (ms * hz + rest * hz / 1_000) / 1_000
}

/// Where a line comes to that goes on for so many packets.
const fn beyond(place: u32, way: u32, packets: u32) -> u32 {
    place.wrapping_add(way.wrapping_mul(packets))
}

/// No way of three quarters of a packet is longer on a line that goes on; those down wrap.
const fn shortened(way: u32) -> u32 {
    let way = way.cast_signed();
    if way.unsigned_abs() <= LONGEST / 4 * 3 {
        way.cast_unsigned()
    } else {
        (LONGEST / 4 * 3).wrapping_mul(way.signum().cast_unsigned())
    }
}

const fn inner(value: u32) -> u32 {
    (value >> 1) + ROOM
}

/// Back again; what packets can say is exact, and there is nothing beyond.
fn outer(place: u32) -> u32 {
    let value = place.saturating_sub(ROOM).min((1 << 31) - 1);
    value << 1 | (value >> 15 & 1)
}
