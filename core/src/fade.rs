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

    /// What `part` of a line lacks to 2^32 when it is full.
    const fn bias(self) -> u32 {
        if self.is_short() {
            0
        } else {
            0u32.wrapping_sub(self.steps)
        }
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

/// One value on its way. `part` and `step_part` count 2^-32 on a short pace, 1 / steps on a long one, where `part`
/// begins at [`Course::bias`], so that it is full at 2^32 on either.
#[derive(Clone, Debug)]
#[repr(C)]
pub(crate) struct Line {
    part: u32,
    value: u32,
    step_part: u32,
    step: u32,
}

impl Line {
    pub(crate) const fn at(value: u32) -> Self {
        Self {
            value,
            part: 0,
            step: 0,
            step_part: 0,
        }
    }

    /// Where it is.
    #[inline(always)]
    pub(crate) const fn value(&self) -> u32 {
        self.value
    }

    /// Out of line: copied into each value's place, it would take its size in flash once a value.
    #[inline(never)]
    pub(crate) const fn start(&mut self, target: u32, pace: Pace) {
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
        self.part = pace.bias();
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
        let borrow = self.step_part != 0;
        if pace.is_short() {
            self.step_part = 0u32.wrapping_sub(self.step_part);
        } else if borrow {
            self.step_part = pace.steps - self.step_part;
        }
        self.step = 0u32.wrapping_sub(self.step + borrow as u32);
        self.part = u32::MAX;
    }

    /// One control step on a course that moves; where the value is then.
    #[inline(always)]
    pub(crate) const fn step(&mut self, bias: u32) -> u32 {
        let (part, carry) = self.part.overflowing_add(self.step_part);
        let here = self.value.wrapping_add(self.step);
        (self.value, self.part) = if carry {
            (here.wrapping_add(1), part.wrapping_add(bias))
        } else {
            (here, part)
        };
        self.value
    }

    /// The same on a short pace, whose bias is 0.
    #[inline(always)]
    const fn step_short(&mut self) {
        let here = (self.value as u64) << 32 | self.part as u64;
        let by = (self.step as u64) << 32 | self.step_part as u64;
        let next = here.wrapping_add(by);
        self.value = (next >> 32) as u32;
        self.part = next as u32;
    }
}

/// What lines that arrive together share.
#[derive(Clone, Debug)]
pub(crate) struct Course {
    /// Control steps to arrival, none in a pause.
    remaining: u32,
    /// Those left when it paused.
    held: u32,
    bias: u32,
    paused: bool,
}

impl Course {
    pub(crate) const STILL: Self = Self {
        remaining: 0,
        held: 0,
        bias: 0,
        paused: false,
    };

    /// Starts anew. A pause ends.
    pub(crate) const fn start(&mut self, pace: Pace) {
        *self = Self {
            remaining: pace.steps,
            bias: pace.bias(),
            ..Self::STILL
        };
    }

    /// One control step: the bias with which the lines are to do it as well, unless they stand still.
    #[inline(always)]
    pub(crate) const fn step(&mut self) -> Option<u32> {
        if self.remaining == 0 {
            return None;
        }
        self.remaining -= 1;
        Some(self.bias)
    }

    pub(crate) const fn bias(&self) -> u32 {
        self.bias
    }

    pub(crate) const fn remaining(&self) -> u32 {
        self.remaining | self.held
    }

    pub(crate) const fn pause(&mut self) {
        self.paused = true;
        self.held |= self.remaining;
        self.remaining = 0;
    }

    pub(crate) const fn resume(&mut self) {
        self.paused = false;
        self.remaining |= self.held;
        self.held = 0;
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
    course: Course,
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
            course: Course::STILL,
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
        fade.course.start(pace);
        fade
    }

    pub(crate) const fn lines(&self) -> &[Line; N] {
        &self.lines
    }

    pub(crate) const fn course(&self) -> &Course {
        &self.course
    }

    /// Sends every value from where it is now towards its target. A pause ends.
    pub fn start(&mut self, targets: &[u32; N], pace: Pace) {
        for (line, &target) in self.lines.iter_mut().zip(targets) {
            line.start(target, pace);
        }
        self.course.start(pace);
    }

    /// Moves every value by one control step; nothing happens after arrival or in a pause.
    #[inline]
    pub fn step(&mut self) {
        match self.course.step() {
            None => {}
            Some(0) => {
                // By two, so that at opt-level s the loop does not cost a fourth of it.
                let (pairs, last) = self.lines.as_chunks_mut::<2>();
                for [first, second] in pairs {
                    first.step_short();
                    second.step_short();
                }
                last.iter_mut().for_each(Line::step_short);
            }
            Some(bias) => self.lines.iter_mut().for_each(|line| {
                line.step(bias);
            }),
        }
    }

    /// Where every value is, one after the other: no copy of all is made.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = u32> {
        self.lines.iter().map(Line::value)
    }

    /// Where every value is.
    #[must_use]
    pub fn values(&self) -> [u32; N] {
        self.lines.each_ref().map(Line::value)
    }

    /// Control steps to arrival; 0 when standing still.
    pub const fn remaining(&self) -> u32 {
        self.course.remaining()
    }

    /// Holds every value where it is until [`Fade::resume`] or the next start.
    pub const fn pause(&mut self) {
        self.course.pause();
    }

    /// Goes on after a pause; arrival is later by the control steps paused.
    pub const fn resume(&mut self) {
        self.course.resume();
    }

    /// Whether the fade is held.
    pub const fn is_paused(&self) -> bool {
        self.course.paused
    }
}
