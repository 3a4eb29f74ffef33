//! Straight-line movement of n values that all arrive on the same control step.

/// How long a fade takes: the one division of a fade, shared by all values that move together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Pace {
    steps: u32,
    /// (2^32 - 1) / steps, rounded down.
    reciprocal: u32,
}

impl Pace {
    /// No movement: values jump to their targets.
    pub const AT_ONCE: Self = Self::new(0);

    /// A fade of 0 (at once) to 2^32 - 1 control steps: 49 days at 1 kHz.
    #[must_use]
    pub const fn new(steps: u32) -> Self {
        let divisor = if steps == 0 { 1 } else { steps };
        Self {
            steps,
            reciprocal: u32::MAX / divisor,
        }
    }

    /// Control steps from begin to arrival.
    pub const fn steps(self) -> u32 {
        self.steps
    }

    /// For the way through memory: [`Pace::from_words`] needs no division.
    pub(crate) const fn to_words(self) -> [u32; 2] {
        [self.steps, self.reciprocal]
    }

    pub(crate) const fn from_words([steps, reciprocal]: [u32; 2]) -> Self {
        Self { steps, reciprocal }
    }

    /// Up to this length a rounded-up 32.32 increment errs by less than `1 / steps` at arrival, so that its whole part
    /// is that of the exact line at every step; beyond, a remainder is carried.
    const fn is_short(self) -> bool {
        self.steps <= 0xFFFF
    }

    /// `distance / steps` and the remainder. The estimate is at most 2 too low.
    const fn divide(self, distance: u32) -> (u32, u32) {
        let mut quotient = ((distance as u64 * self.reciprocal as u64) >> 32) as u32;
        let mut rest = distance - quotient * self.steps;
        while rest >= self.steps {
            rest -= self.steps;
            quotient += 1;
        }
        (quotient, rest)
    }

    /// `rest * 2^32 / steps`, rounded up, for a short pace and `rest < steps`.
    const fn part(self, rest: u32) -> u32 {
        if rest == 0 {
            return 0;
        }
        let short = 0u32.wrapping_sub(self.reciprocal.wrapping_mul(self.steps));
        let (carried, _) = self.divide(rest * short);
        rest * self.reciprocal + carried + 1
    }
}

/// One value on its way. `part` and `step_part` count 2^-32 on a short pace, 1 / steps on a long one.
#[derive(Clone, Debug)]
struct Line {
    value: u32,
    part: u32,
    step: u32,
    step_part: u32,
}

impl Line {
    const fn at(value: u32) -> Self {
        Self {
            value,
            part: 0,
            step: 0,
            step_part: 0,
        }
    }

    /// Out of line: copied into each value's place, it would take its size in flash once a value.
    #[inline(never)]
    const fn start(&mut self, target: u32, pace: Pace) {
        if pace.steps == 0 {
            *self = Self::at(target);
        } else if target >= self.value {
            self.rise(target - self.value, pace);
        } else {
            self.fall(self.value - target, pace);
        }
    }

    const fn rise(&mut self, distance: u32, pace: Pace) {
        let (whole, rest) = pace.divide(distance);
        self.part = 0;
        self.step = whole;
        self.step_part = if pace.is_short() {
            pace.part(rest)
        } else {
            rest
        };
    }

    /// Falling by the floor of a distance is rising by the ceiling of its negative: begin just below the next whole.
    const fn fall(&mut self, distance: u32, pace: Pace) {
        self.rise(distance, pace);
        let (negated, last_part) = if pace.is_short() {
            (0u32.wrapping_sub(self.step_part), u32::MAX)
        } else if self.step_part == 0 {
            (0, pace.steps - 1)
        } else {
            (pace.steps - self.step_part, pace.steps - 1)
        };
        let borrow = (self.step_part != 0) as u32;
        self.step = 0u32.wrapping_sub(self.step + borrow);
        self.step_part = negated;
        self.part = last_part;
    }

    #[inline(always)]
    fn step_short(&mut self) {
        let here = (u64::from(self.value) << 32) | u64::from(self.part);
        let by = (u64::from(self.step) << 32) | u64::from(self.step_part);
        let next = here.wrapping_add(by);
        self.value = (next >> 32) as u32;
        self.part = next as u32;
    }

    #[inline(always)]
    fn step_long(&mut self, steps: u32) {
        self.value = self.value.wrapping_add(self.step);
        let room = steps - self.step_part;
        if self.part >= room {
            self.part -= room;
            self.value = self.value.wrapping_add(1);
        } else {
            self.part += self.step_part;
        }
    }
}

/// N values that move on straight lines and arrive together.
///
/// After `s` of `S` control steps a value has moved by the floor of `distance x s / S`: rounded towards where it
/// began, exact at every step of every length, never past its target, never backwards.
///
/// *Range*: values of 32 bits; 0 to 2^32 - 1 control steps. *Cost*: a step takes one 64-bit addition a value up to
/// 65 535 control steps, an addition and a comparison beyond; a start divides once for all values and multiplies
/// once or twice a value. *State*: 16 bytes a value. *Interrupts*: not to be stepped and started at the same time.
///
/// ```
/// use milliglow::fade::{Fade, Pace};
/// let mut fade = Fade::at([0, 900]);
/// fade.start(&[300, 0], Pace::new(3));
/// fade.step();
/// assert_eq!(fade.values(), [100, 600]);
/// fade.start(&[0, 0], Pace::new(2)); // turned round in flight, no jump
/// fade.step();
/// fade.step();
/// assert_eq!((fade.values(), fade.remaining()), ([0, 0], 0));
/// ```
#[derive(Clone, Debug)]
pub struct Fade<const N: usize> {
    lines: [Line; N],
    pace: Pace,
    remaining: u32,
    paused: bool,
}

impl<const N: usize> Fade<N> {
    /// Values that stand still.
    #[must_use]
    pub const fn at(values: [u32; N]) -> Self {
        let mut lines = [const { Line::at(0) }; N];
        let mut k = 0;
        while k < N {
            lines[k].value = values[k];
            k += 1;
        }
        Self {
            lines,
            pace: Pace::AT_ONCE,
            remaining: 0,
            paused: false,
        }
    }

    /// Values at the begin of a movement, which no start has to work out later.
    pub(crate) const fn between(values: &[u32; N], targets: &[u32; N], pace: Pace) -> Self {
        let mut fade = Self::at(*values);
        let mut k = 0;
        while k < N {
            fade.lines[k].start(targets[k], pace);
            k += 1;
        }
        fade.pace = pace;
        fade.remaining = pace.steps;
        fade
    }

    /// What the movement takes from begin to arrival.
    pub(crate) const fn pace(&self) -> Pace {
        self.pace
    }

    /// Sends every value from where it is now towards its target. A pause ends.
    pub fn start(&mut self, targets: &[u32; N], pace: Pace) {
        for (line, &target) in self.lines.iter_mut().zip(targets) {
            line.start(target, pace);
        }
        self.pace = pace;
        self.remaining = pace.steps;
        self.paused = false;
    }

    /// Moves every value by one control step; nothing happens after arrival or in a pause.
    pub fn step(&mut self) {
        if self.remaining == 0 || self.paused {
            return;
        }
        self.remaining -= 1;
        if self.pace.is_short() {
            self.lines.iter_mut().for_each(Line::step_short);
        } else {
            let steps = self.pace.steps;
            self.lines.iter_mut().for_each(|line| line.step_long(steps));
        }
    }

    /// Where every value is, one after the other: no copy of all is made.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = u32> {
        self.lines.iter().map(|line| line.value)
    }

    /// Where every value is.
    #[must_use]
    pub fn values(&self) -> [u32; N] {
        self.lines.each_ref().map(|line| line.value)
    }

    /// Control steps to arrival; 0 when standing still.
    pub const fn remaining(&self) -> u32 {
        self.remaining
    }

    /// Holds every value where it is until [`Fade::resume`] or the next start.
    pub const fn pause(&mut self) {
        self.paused = true;
    }

    /// Goes on after a pause; arrival is later by the control steps paused.
    pub const fn resume(&mut self) {
        self.paused = false;
    }

    /// Whether the fade is held.
    pub const fn is_paused(&self) -> bool {
        self.paused
    }
}
