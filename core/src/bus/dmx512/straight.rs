//! The straight line that the last values of a slot round.

use super::runs::{RUNS, Run, Runs};

/// A step of a slot.
pub(super) const ONE: i32 = 1 << 16;

/// A line over packets.
#[derive(Clone, Copy, Debug)]
pub(super) struct Straight {
    /// Where it is now, in 2^-16 of a slot's step.
    pub(super) here: i32,
    /// By how much it rises in a packet, likewise.
    pub(super) slope: i32,
}

impl Straight {
    /// At rest.
    pub(super) const fn at(value: u8) -> Self {
        Self {
            here: value as i32 * ONE,
            slope: 0,
        }
    }

    /// Where it was so many half packets ago.
    pub(super) const fn ago(&self, halves: u8) -> i32 {
        self.here - self.slope * halves as i32 / 2
    }

    /// How far it is from a value so many packets ago.
    pub(super) const fn off(&self, value: u8, packets: u8) -> i32 {
        self.here - self.slope * packets as i32 - value as i32 * ONE
    }

    /// The middle of all lines that round to the runs from one on, as far back as there is such a line: known to a few hundredths of a
    /// step, for the longer the line the fewer slopes are left. None after a first step whose pace cannot be known for `wait` packets.
    /// A value that stands for longer than a creep lets it, which looks `ahead` by so many packets, is at rest.
    pub(super) fn of(runs: &Runs, from: u8, ahead: u8) -> Self {
        if rests(runs, from, ahead) {
            return Self::at(runs.ago(from).value);
        }
        let mut slopes = Slopes::ANY;
        let mut whole = from;
        let mut part = None;
        while whole < runs.count().min(from + RUNS) {
            let run = runs.ago(whole);
            if let Some(fewer) = slopes.with(runs, from..whole, run) {
                (slopes, whole) = (fewer, whole + 1);
                continue;
            }
            if let Some(fewer) = slopes.with(runs, from..whole, run.end()) {
                (slopes, part) = (fewer, Some(run.end()));
            }
            break;
        }
        let count = whole - from + u8::from(part.is_some());
        if count <= 2 && from == 0 && runs.ago(0).first < ahead / 3 {
            return Self::at(runs.ago(1).value);
        }
        let runs = (from..whole).map(|back| runs.ago(back)).chain(part);
        middle(runs, slopes.middle())
    }
}

/// The line of this slope in the middle of what the runs let it be.
fn middle(runs: impl Iterator<Item = Run>, slope: i32) -> Straight {
    let (mut floor, mut ceiling) = (i32::MIN, i32::MAX);
    for run in runs {
        for packets in [run.first, run.last] {
            let here = i32::from(run.value) * ONE + slope * i32::from(packets);
            floor = floor.max(here - ONE / 2);
            ceiling = ceiling.min(here + ONE / 2);
        }
    }
    Straight {
        here: floor / 2 + ceiling / 2,
        slope,
    }
}

/// Whether a run is longer than the one before by as much again, or by what the filter looks ahead.
fn rests(runs: &Runs, from: u8, ahead: u8) -> bool {
    let run = runs.ago(from);
    let period = match runs.count() - from {
        1 => return true,
        // What was before is not known.
        2 => ahead,
        _ => runs.ago(from + 1).first - run.first,
    };
    u16::from(run.first - run.last) > u16::from(period) + u16::from(period.min(ahead))
}

/// The slopes of all lines that round to some runs.
#[derive(Clone, Copy)]
struct Slopes {
    low: Ratio,
    high: Ratio,
}

impl Slopes {
    const ANY: Self = Self {
        low: Ratio(-2, 1),
        high: Ratio(2, 1),
    };

    /// Those that round to a run before the others as well, if there are any.
    fn with(mut self, runs: &Runs, newer: core::ops::Range<u8>, run: Run) -> Option<Self> {
        if run.first > run.last {
            self.narrow(run, run);
        }
        for back in newer {
            self.narrow(run, runs.ago(back));
        }
        (!self.low.exceeds(self.high)).then_some(self)
    }

    /// A line goes by less than a step more or less than the values, in the least or in the most time between two packets.
    fn narrow(&mut self, early: Run, late: Run) {
        let way = i32::from(late.value) - i32::from(early.value);
        let long = i32::from(early.first) - i32::from(late.last);
        let short = i32::from(early.last) - i32::from(late.first);
        let low = Ratio(way - 1, if way > 1 { short } else { long });
        let high = Ratio(way + 1, if way < -1 { short } else { long });
        if low.exceeds(self.low) {
            self.low = low;
        }
        if self.high.exceeds(high) {
            self.high = high;
        }
    }

    const fn middle(self) -> i32 {
        (self.low.bits() + self.high.bits()) / 2
    }
}

/// A quotient that is compared without a division; its divisor is positive.
#[derive(Clone, Copy)]
struct Ratio(i32, i32);

impl Ratio {
    const fn exceeds(self, other: Self) -> bool {
        self.0 * other.1 > other.0 * self.1
    }

    const fn bits(self) -> i32 {
        self.0 * ONE / self.1
    }
}
