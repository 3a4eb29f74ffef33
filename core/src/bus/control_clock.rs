//! How many control steps are due: late ones, early ones, and a time base that jumps.

use crate::Error;

/// What to do with control steps that came too late.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Late {
    /// Do up to so many more at a time until none is missing: a fade goes faster for a while, jumps nowhere and ends on time.
    CatchUp {
        /// How many more at a time, at least 1 to have an effect.
        extra: u8,
    },
    /// Leave them out: a fade stands meanwhile and ends later.
    Hold,
}

/// What a control clock counted, each up to 65 535.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct ClockCounts {
    /// Control steps that came too late.
    pub late: u16,
    /// Of them, those that were left out.
    pub dropped: u16,
    /// Calls that came before a control step was due.
    pub early: u16,
    /// Jumps of the time base.
    pub jumps: u16,
}

/// Turns time stamps into control steps.
///
/// Call it from the timer and do as many control steps as it says. In time it says 1. More than half a control step before the
/// next is due it says 0, and late by k whole ones it lets k more follow, or leaves them out. What is further off than
/// `jump_steps` is no delay but a jump of the time base, forwards or backwards: from there on it counts anew, and the light goes
/// on by 1.
///
/// *Time*: any unit, with time stamps that wrap. *Cost*: additions only; a loop over the control steps missed, at most `jump_steps`. *State*: 28 bytes.
///
/// ```
/// use milliglow::bus::{ControlClock, Late};
/// use milliglow::constant;
/// let mut clock = constant!(ControlClock::new(1_000, Late::CatchUp { extra: 1 }, 500));
/// assert_eq!(clock.steps(70_000), 1); // the first call sets the time
/// assert_eq!(clock.steps(71_000), 1);
/// assert_eq!(clock.steps(74_000), 2); // two were missed: one more now
/// assert_eq!(clock.missing(), 1);
/// assert_eq!(clock.steps(75_000), 2); // and one more here
/// assert_eq!(clock.steps(76_000), 1);
/// ```
#[derive(Clone, Debug)]
pub struct ControlClock {
    period: u32,
    limit: u32,
    late: Late,
    due: u32,
    is_set: bool,
    missing: u32,
    counts: ClockCounts,
}

impl ControlClock {
    /// For a control step every `period` units of time.
    ///
    /// # Errors
    /// [`Error::ControlPeriod`] unless `period` is 2 or more, `jump_steps` 1 or more and their product below 2^31.
    pub const fn new(period: u32, late: Late, jump_steps: u16) -> Result<Self, Error> {
        match period.checked_mul(jump_steps as u32) {
            Some(limit) if period >= 2 && limit != 0 && limit < 1 << 31 => Ok(Self {
                period,
                limit,
                late,
                due: 0,
                is_set: false,
                missing: 0,
                counts: ClockCounts {
                    late: 0,
                    dropped: 0,
                    early: 0,
                    jumps: 0,
                },
            }),
            _ => Err(Error::ControlPeriod),
        }
    }

    /// Control steps to do now.
    #[must_use]
    pub fn steps(&mut self, now: u32) -> u32 {
        let behind = now.wrapping_sub(self.due).cast_signed();
        if !self.is_set || behind.unsigned_abs() > self.limit {
            count(&mut self.counts.jumps, u32::from(self.is_set));
            self.is_set = true;
            self.missing = 0;
            self.due = now.wrapping_add(self.period);
            return 1;
        }
        if behind < 0 && behind.unsigned_abs() > self.period / 2 {
            count(&mut self.counts.early, 1);
            return 0;
        }
        let missed = self.advance(behind.max(0).unsigned_abs());
        count(&mut self.counts.late, missed);
        1 + self.make_up(missed)
    }

    /// Control steps that are still to be made up after those that [`ControlClock::steps`] gave.
    ///
    /// A bus whose frames carry time stamps hears in each control step what had come when it was due
    /// ([`FrameQueue::pop_due`](super::FrameQueue::pop_due)): the first of `n` given at once is behind by this and `n - 1`.
    pub const fn missing(&self) -> u32 {
        self.missing
    }

    /// What was counted.
    pub const fn counts(&self) -> ClockCounts {
        self.counts
    }

    /// Past the control step that is due and those that are overdue; how many these are.
    const fn advance(&mut self, mut behind: u32) -> u32 {
        let mut missed = 0;
        self.due = self.due.wrapping_add(self.period);
        while behind >= self.period {
            behind -= self.period;
            self.due = self.due.wrapping_add(self.period);
            missed += 1;
        }
        missed
    }

    fn make_up(&mut self, missed: u32) -> u32 {
        match self.late {
            Late::Hold => {
                count(&mut self.counts.dropped, missed);
                0
            }
            Late::CatchUp { extra } => {
                let all = self.missing.saturating_add(missed);
                let now = all.min(extra.into());
                self.missing = all - now;
                now
            }
        }
    }
}

fn count(counter: &mut u16, by: u32) {
    *counter = counter.saturating_add(by.min(0xFFFF) as u16);
}
