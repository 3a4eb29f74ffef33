//! Set-up: from a density and a charge to the visits that make a difference.

use super::returns::{FAR, Returns};

/// Ticks from which going further back gains nothing, if changes are seldom.
const FAR_BACK: u32 = 512;
/// A width of an interval, in units of 2^-32, that is visited so seldom that it may be doubled.
const SELDOM: u32 = 1 << 20;

/// A convergent of a density, and where an orbit first meets its interval. Times are in decisions.
pub(super) struct Convergent {
    /// How far the charge moves in `period` decisions, and in `next` ones the other way.
    step: u32,
    back: u32,
    /// Denominators of this convergent and the next; of the next one 0 for 2^32, and both 0 where there is no next.
    pub(super) period: u32,
    next: u32,
    /// The first visit: decisions until it is made, and how deep it is.
    at: u32,
    depth: u32,
}

/// Each one of a density of at most a half: the interval is the density itself. Two divisions.
pub(super) fn ones(density: u32, charge: u32) -> Convergent {
    let next = u32::MAX.checked_div(density).unwrap_or(0);
    let zeros = (!charge).checked_div(density).unwrap_or(0);
    Convergent {
        step: density,
        back: next.wrapping_mul(density).wrapping_neg(),
        period: 1,
        next,
        at: zeros,
        depth: density
            .wrapping_mul(zeros)
            .wrapping_add(density)
            .wrapping_add(charge),
    }
}

/// The last convergent of a density of at most a half whose denominator is at most `longest`.
///
/// Euclid's algorithm on the density and 1, and beside it, level by level, the first visit to the intervals of two successive
/// convergents: `z` is how deep the charge is, in the one where it is not negative and in the other where it is.
pub(super) fn convergent(density: u32, charge: u32, longest: u32) -> Convergent {
    let first = density
        .wrapping_neg()
        .checked_div(density)
        .unwrap_or(0)
        .wrapping_add(1);
    let mut wide = Side {
        move_by: density,
        decisions: 1,
    };
    let mut narrow = Side {
        move_by: first.wrapping_mul(density).wrapping_neg(),
        decisions: first,
    };
    let mut met = enter(density, charge, narrow.move_by);
    while narrow.move_by > 0 && narrow.decisions <= longest && narrow.decisions > 0 {
        let rest = wide.less(narrow);
        met.leave(narrow, rest.move_by);
        met.z = !met.z;
        (wide, narrow) = (narrow, rest);
    }
    if narrow.move_by == 0 && narrow.decisions <= longest && narrow.decisions > 0 {
        return Convergent {
            step: 0,
            back: 0,
            period: narrow.decisions,
            next: 0,
            at: 0,
            depth: 0,
        };
    }
    if met.z < 0 {
        met.z = met.z.wrapping_add_unsigned(wide.move_by);
        met.at = met.at.wrapping_add(wide.decisions);
    }
    Convergent {
        step: wide.move_by,
        back: narrow.move_by,
        period: wide.decisions,
        next: narrow.decisions,
        at: met.at,
        depth: met.z.cast_unsigned(),
    }
}

/// So many decisions move the charge by so much, up or down.
#[derive(Clone, Copy)]
struct Side {
    move_by: u32,
    decisions: u32,
}

/// Subtractions tried before a division.
const FEW: u32 = 4;

impl Side {
    /// Less the other as often as it goes.
    #[inline(always)]
    fn less(mut self, other: Self) -> Self {
        for _ in 0..FEW {
            if self.move_by < other.move_by {
                return self;
            }
            self.move_by -= other.move_by;
            self.decisions = self.decisions.wrapping_add(other.decisions);
        }
        let times = self.move_by.checked_div(other.move_by).unwrap_or(0);
        Self {
            move_by: self.move_by.wrapping_sub(times.wrapping_mul(other.move_by)),
            decisions: self
                .decisions
                .wrapping_add(times.wrapping_mul(other.decisions)),
        }
    }
}

/// Where an orbit meets the intervals of two successive convergents, and after how many decisions.
struct Met {
    z: i32,
    at: u32,
}

impl Met {
    /// On by a side until below `rest`.
    #[inline(always)]
    fn leave(&mut self, side: Side, rest: u32) {
        for _ in 0..FEW {
            if self.z < rest.cast_signed() {
                return;
            }
            self.z = self.z.wrapping_sub_unsigned(side.move_by);
            self.at = self.at.wrapping_add(side.decisions);
        }
        let over = self.z.wrapping_sub_unsigned(rest);
        if over >= 0 {
            let times = over
                .cast_unsigned()
                .checked_div(side.move_by)
                .unwrap_or(0)
                .wrapping_add(1);
            self.z = self
                .z
                .wrapping_sub_unsigned(times.wrapping_mul(side.move_by));
            self.at = self.at.wrapping_add(times.wrapping_mul(side.decisions));
        }
    }
}

/// The first meeting with `-rest..density`.
fn enter(density: u32, charge: u32, rest: u32) -> Met {
    let times = match (!charge).checked_sub(rest) {
        Some(over) if charge >= density => over.checked_div(density).unwrap_or(0).wrapping_add(1),
        _ => 0,
    };
    Met {
        z: charge
            .wrapping_add(times.wrapping_mul(density))
            .cast_signed(),
        at: times,
    }
}

impl Convergent {
    /// Ticks to go back, as many periods as are at least a word and at most `history`, and of the visits to an interval of as many steps those
    /// after the first; none where they would come too often to pay.
    pub(super) fn way_back(&self, shift: u32, widest: u32, history: u32) -> Option<(u32, u8)> {
        let period = self.period << shift;
        if self.step == 0 {
            // A power of two, since it divides 2^32.
            let least = if period < 32 { 32 } else { period };
            return Some((history & least.wrapping_neg(), 0));
        }
        let (mut distance, mut steps, mut width) = (period, 1_u32, self.step);
        while distance < 32 || distance < FAR_BACK && width < SELDOM && distance < history / 2 {
            (distance, steps, width) = (2 * distance, 2 * steps, width.saturating_mul(2));
        }
        (width <= widest).then_some((distance, (steps - 1) as u8))
    }

    /// Visits in ticks of `1 << shift` a decision, in bursts; the first is due after `before` decisions more or fewer.
    pub(super) fn visits(&self, shift: u32, burst: u8, before: u32) -> (Returns, i32) {
        if self.step == 0 {
            return (Returns::NEVER, FAR.cast_signed());
        }
        let rare = self.next.wrapping_sub(1) >= FAR >> 5;
        let near = self
            .next
            .wrapping_sub(self.period.wrapping_mul(burst.into()))
            << shift;
        let returns = Returns {
            due: 0,
            depth: self.depth,
            step: self.step,
            back: self.back,
            near: if rare { FAR } else { near },
            extra: self.period << shift,
            burst,
            left: burst,
        };
        if self.at > FAR >> 4 {
            (returns, FAR.cast_signed())
        } else {
            (returns, self.at.wrapping_sub(before).cast_signed() << shift)
        }
    }
}
