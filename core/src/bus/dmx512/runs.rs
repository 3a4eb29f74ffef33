//! What a slot of 8 bits was of late.

/// Runs that are remembered: a creep of half a step a packet fills 31 packets with them.
pub(super) const RUNS: u8 = 16;

/// Packets after which a run is forgotten. Time of 64 packets more still fits in 8 bits.
const AGE: u8 = 180;

/// Packets in a row with one value.
#[derive(Clone, Copy, Debug)]
pub(super) struct Run {
    pub(super) value: u8,
    /// The first and the last of them: in what is given out, how many packets ago that was.
    pub(super) first: u8,
    pub(super) last: u8,
}

impl Run {
    /// The end of it alone.
    pub(super) const fn end(self) -> Self {
        Self {
            first: self.last,
            ..self
        }
    }
}

/// The last runs. Between two of them packets may be lost.
#[derive(Clone, Debug)]
pub(super) struct Runs {
    /// Round and round, by packets that are counted and wrap.
    runs: [Run; RUNS as usize],
    newest: u8,
    count: u8,
    now: u8,
}

impl Runs {
    /// A packet, and nothing before.
    pub(super) const fn at(value: u8) -> Self {
        let run = Run {
            value,
            first: 0,
            last: 0,
        };
        Self {
            runs: [run; RUNS as usize],
            newest: 0,
            count: 1,
            now: 0,
        }
    }

    /// How many there are, at least 1.
    pub(super) const fn count(&self) -> u8 {
        self.count
    }

    /// One of them, 0 for the newest.
    pub(super) const fn ago(&self, back: u8) -> Run {
        let run = self.runs[place(self.newest, back)];
        Run {
            value: run.value,
            first: self.now.wrapping_sub(run.first),
            last: self.now.wrapping_sub(run.last),
        }
    }

    /// So many packets go by, at most 64.
    pub(super) const fn pass(&mut self, packets: u8) {
        self.now = self.now.wrapping_add(packets);
        while self.count > 1 && self.ago(self.count - 1).last > AGE {
            self.count -= 1;
        }
        let oldest = self.ago(self.count - 1);
        let earliest = self.now.wrapping_sub(AGE);
        let run = &mut self.runs[place(self.newest, self.count - 1)];
        if oldest.first > AGE {
            run.first = earliest;
        }
        if oldest.last > AGE {
            run.last = earliest;
        }
    }

    /// The value in this packet; whether a run begins.
    pub(super) const fn see(&mut self, value: u8) -> bool {
        let begins = self.ago(0).value != value;
        if begins {
            self.newest = self.newest.wrapping_add(1);
            self.count += (self.count < RUNS) as u8;
        }
        let now = self.now;
        let run = &mut self.runs[place(self.newest, 0)];
        if begins {
            run.value = value;
            run.first = now;
        }
        run.last = now;
        begins
    }
}

const fn place(newest: u8, back: u8) -> usize {
    newest.wrapping_sub(back) as usize % RUNS as usize
}
