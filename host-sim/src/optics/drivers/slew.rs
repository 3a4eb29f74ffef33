//! A linear current source whose current rises and falls along straight lines.

use super::DriverError;
use super::charge::{Charge, Plant, Settling};
use super::edges::Edges;
use super::error::{duration, within};
use super::watch::Watch;

/// Figures of a slew-limited source: seconds, times for the whole way from 0 to the full current and back.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SlewFigures {
    /// Rise time, 0 to 1 s.
    pub rise_s: f64,
    /// Fall time, 0 to 1 s.
    pub fall_s: f64,
    /// From a rising stream to the begin of the rise, 0 to 1 s.
    pub turn_on_delay_s: f64,
    /// From a falling stream to the begin of the fall, 0 to 1 s.
    pub turn_off_delay_s: f64,
    /// Charge that each turn-on takes before there is light (capacitance of the string), over the full current: 0 to 1 s.
    pub turn_on_charge_s: f64,
    /// Relative change of the current over the relative change of the supply, -10 to 10.
    pub line_sensitivity: f64,
}

/// A slew-limited source whose figures are possible.
///
/// A pulse of W seconds, `We = W + turn-off delay - turn-on delay`, gives `We - rise / 2 + fall / 2` if `We >= rise`, a
/// triangle of `We^2 (1 + fall / rise) / (2 rise)` if not, nothing if `We <= 0`, and less by the charge of the turn-on.
/// Runs that meet before the current is down to zero go on from where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slew(SlewFigures);

impl Slew {
    /// With these figures.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for one that is not finite or out of range.
    pub fn new(figures: SlewFigures) -> Result<Self, DriverError> {
        duration("rise", figures.rise_s)?;
        duration("fall", figures.fall_s)?;
        duration("turn-on delay", figures.turn_on_delay_s)?;
        duration("turn-off delay", figures.turn_off_delay_s)?;
        duration("turn-on charge", figures.turn_on_charge_s)?;
        within("line sensitivity", figures.line_sensitivity, -10.0, 10.0)?;
        Ok(Self(figures))
    }

    /// Its figures.
    #[must_use]
    pub fn figures(&self) -> SlewFigures {
        self.0
    }

    pub(super) fn edges(&self) -> Edges {
        let figures = self.0;
        let late = figures.turn_on_delay_s - figures.turn_off_delay_s;
        let charged = figures.turn_on_charge_s + (figures.rise_s - figures.fall_s) / 2.0;
        Edges {
            taken_s: figures.turn_on_charge_s,
            up_s: figures.turn_on_delay_s + figures.rise_s / 2.0 + figures.turn_on_charge_s,
            down_s: figures.turn_off_delay_s + figures.fall_s / 2.0,
            shortest_on_s: late + figures.rise_s.max(charged),
            shortest_off_s: figures.fall_s - late,
            settled_s: (figures.turn_on_delay_s + figures.rise_s + figures.turn_on_charge_s)
                .max(figures.turn_off_delay_s + figures.fall_s),
        }
    }
}

/// The current of a slew-limited source.
#[derive(Clone, Debug)]
pub(super) struct SlewPlant {
    figures: SlewFigures,
    on: bool,
    current: f64,
    /// What the turn-on still takes, in seconds at full current.
    owed: f64,
}

impl SlewPlant {
    pub(super) fn new(slew: &Slew) -> Self {
        Self {
            figures: slew.0,
            on: false,
            current: 0.0,
            owed: 0.0,
        }
    }

    /// Where the current goes, and how many seconds the whole way takes.
    #[inline]
    fn aim(&self) -> (f64, f64) {
        if self.on {
            (1.0, self.figures.rise_s)
        } else {
            (0.0, self.figures.fall_s)
        }
    }

    /// A straight piece of the curve that ends at `end`, `after` seconds from the begin of the run.
    #[inline]
    fn piece(&mut self, end: f64, seconds: f64, after: f64, watch: &mut impl Watch) -> Charge {
        let begin = self.current;
        let drawn = (begin + end) / 2.0 * seconds;
        self.current = end;
        let dark = if drawn > self.owed { self.owed } else { drawn };
        if self.owed > 0.0 {
            self.owed -= dark;
            watch.see(after, 0.0);
            if self.owed > 0.0 {
                watch.see(after + seconds, 0.0);
                return Charge { light: 0.0, drawn };
            }
            // The root of begin t + (end - begin) / (2 seconds) t^2 = dark that does not cancel.
            let bend = (end - begin) / (2.0 * seconds);
            let lit = 2.0 * dark / (begin + (begin * begin + 4.0 * bend * dark).max(0.0).sqrt());
            watch.see(after + lit, 0.0);
            watch.see(after + lit, begin + 2.0 * bend * lit);
        } else {
            watch.see(after, begin);
        }
        watch.see(after + seconds, end);
        Charge {
            light: drawn - dark,
            drawn,
        }
    }
}

impl Plant for SlewPlant {
    fn switch(&mut self, on: bool) {
        self.on = on;
        if on {
            self.owed = self.figures.turn_on_charge_s;
        }
    }

    #[inline]
    fn run<W: Watch>(&mut self, seconds: f64, watch: &mut W) -> Charge {
        let (aim, whole_s) = self.aim();
        let mut charge = Charge::default();
        let mut ramp_s = 0.0;
        if self.current != aim {
            ramp_s = (aim - self.current).abs() * whole_s;
            if ramp_s > seconds {
                let end = self.current + (aim - self.current) * (seconds / ramp_s);
                return self.piece(end, seconds, 0.0, watch);
            }
            if ramp_s > 0.0 {
                charge = self.piece(aim, ramp_s, 0.0, watch);
            }
            self.current = aim;
        }
        charge += self.piece(aim, seconds - ramp_s, ramp_s, watch);
        charge
    }
}

impl Settling for SlewPlant {
    fn pending(&self) -> f64 {
        let (aim, whole_s) = self.aim();
        let way = aim - self.current;
        let tail = -way.abs() * way * whole_s / 2.0;
        let taken = if self.on {
            self.owed
        } else {
            self.owed.min(tail)
        };
        tail - taken
    }

    fn settle(&mut self, on: bool) {
        self.on = on;
        self.current = f64::from(u8::from(on));
        self.owed = 0.0;
    }
}
