//! The adaptive filter of a slot of 8 bits.

/// Weight of what comes in, in units of 2^-16; the largest stands for 1.
const WHOLE: u16 = u16::MAX;

/// Two equal first-order low-passes in a row: narrow while a slot moves, wide while it creeps.
#[derive(Clone, Debug)]
pub(super) struct Creep {
    near: u32,
    out: u32,
    weight: u16,
}

impl Creep {
    /// At rest, as wide as it goes.
    pub(super) const fn at(value: u32, widest: u16) -> Self {
        Self {
            near: value,
            out: value,
            weight: widest,
        }
    }

    pub(super) const fn out(&self) -> u32 {
        self.out
    }

    /// The slot moved: from here on it is followed as it is, from where the output stands.
    pub(super) const fn shrink(&mut self) {
        self.weight = WHOLE;
    }

    /// The slot creeps or stands: wider by a quarter a packet.
    pub(super) fn widen(&mut self, widest: u16) {
        self.weight = (self.weight - self.weight / 4).max(widest);
    }

    /// One control step. *Cost*: four 16-bit products.
    pub(super) const fn step(&mut self, input: u32) {
        if self.weight == WHOLE {
            (self.near, self.out) = (input, input);
        } else {
            self.near = towards(self.near, input, self.weight);
            self.out = towards(self.out, self.near, self.weight);
        }
    }
}

const fn towards(here: u32, there: u32, weight: u16) -> u32 {
    if there >= here {
        here + part(there - here, weight)
    } else {
        here - part(here - there, weight)
    }
}

/// Rounded up, so that the goal is reached; never past it.
const fn part(distance: u32, weight: u16) -> u32 {
    let weight = weight as u32;
    (distance >> 16) * weight + (((distance & 0xFFFF) * weight).div_ceil(1 << 16))
}
