//! When an orbit comes back to where it makes a difference.

/// Visits of the charge to an interval at zero, as wide as the charge moves in `extra` decisions: it comes back after `near`
/// decisions, or after `near + extra`.
///
/// The charge turns on a circle of 2^32. After q decisions, the denominator of a convergent of the density, it has moved by a little, `step`, and after
/// the next denominator by less, `back`, the other way. From `y`, how deep it is in the interval, it comes back to `y - back`, or where that is
/// outside, to `y - back + step`: of the three gaps of such an orbit the interval of this width sees two.
/// *Source*: the three-gap theorem (common knowledge); proved here by comparison with the plain recursion alone.
///
/// Times are in ticks. An interval of several steps is visited in bursts, `extra` apart, as many as there are steps.
#[derive(Clone, Debug)]
pub(super) struct Returns {
    /// Ticks to the next visit.
    pub(super) due: u32,
    /// How deep in the interval that visit is, or its burst begins.
    pub(super) depth: u32,
    pub(super) step: u32,
    pub(super) back: u32,
    /// From the last visit of a burst to the next burst.
    pub(super) near: u32,
    pub(super) extra: u32,
    /// Visits of a burst after the first.
    pub(super) burst: u8,
    /// Of this burst.
    pub(super) left: u8,
}

/// Stands for a time that is not counted, in ticks: 44 s at 24 MHz.
pub(super) const FAR: u32 = 1 << 30;

impl Returns {
    /// No visit, ever.
    pub(super) const NEVER: Self = Self {
        due: FAR,
        depth: 0,
        step: 0,
        back: 0,
        near: FAR,
        extra: 0,
        burst: 0,
        left: 0,
    };

    /// Whether visits are too rare to be counted: the next one is the last that is known, or none if it is far.
    pub(super) const fn are_rare(&self) -> bool {
        self.near == FAR
    }

    /// The period of the next better approximation, in ticks.
    pub(super) const fn next(&self) -> u32 {
        self.near
            .wrapping_add(self.extra.wrapping_mul(self.burst as u32))
    }

    /// On to the next visit.
    #[inline(always)]
    pub(super) const fn advance(&mut self) {
        if self.left > 0 {
            self.left -= 1;
            self.due = self.due.wrapping_add(self.extra);
        } else {
            self.left = self.burst;
            self.advance_alone();
        }
    }

    /// The same where visits do not come in bursts.
    #[inline(always)]
    pub(super) const fn advance_alone(&mut self) {
        let (depth, outside) = self.depth.overflowing_sub(self.back);
        self.depth = depth;
        self.due = self.due.wrapping_add(self.near);
        if outside {
            self.depth = depth.wrapping_add(self.step);
            self.due = self.due.wrapping_add(self.extra);
        }
    }
}
