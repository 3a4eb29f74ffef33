//! A source whose current nears its aim exponentially.

use super::DriverError;
use super::charge::{Charge, Plant, Settling};
use super::edges::Edges;
use super::error::{duration, within};
use super::watch::Watch;

/// Figures of exponential edges, in seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ExponentialFigures {
    /// Time constant while on, 0 to 1 s.
    pub rise_constant_s: f64,
    /// Time constant while off, 0 to 1 s.
    pub fall_constant_s: f64,
    /// From a rising stream to the begin of the rise, 0 to 1 s.
    pub turn_on_delay_s: f64,
    /// From a falling stream to the begin of the fall, 0 to 1 s.
    pub turn_off_delay_s: f64,
    /// Relative change of the current over the relative change of the supply, -10 to 10.
    pub line_sensitivity: f64,
}

/// Exponential edges whose figures are possible.
///
/// Equal constants are a linear system: every stream keeps its average, whatever its pulses. Unequal ones cost
/// `rise constant - fall constant` a pulse that is long against both, less in shorter ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exponential(ExponentialFigures);

/// After so many time constants an edge is over: 1e-10 of it is left.
const OVER: f64 = 23.0;

/// After so many it has left nothing that double precision could show.
const GONE: f64 = 37.0;

impl Exponential {
    /// With these figures.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for one that is not finite or out of range.
    pub fn new(figures: ExponentialFigures) -> Result<Self, DriverError> {
        duration("rise constant", figures.rise_constant_s)?;
        duration("fall constant", figures.fall_constant_s)?;
        duration("turn-on delay", figures.turn_on_delay_s)?;
        duration("turn-off delay", figures.turn_off_delay_s)?;
        within("line sensitivity", figures.line_sensitivity, -10.0, 10.0)?;
        Ok(Self(figures))
    }

    /// Its figures.
    #[must_use]
    pub fn figures(&self) -> ExponentialFigures {
        self.0
    }

    pub(super) fn edges(&self) -> Edges {
        let figures = self.0;
        let late = figures.turn_on_delay_s - figures.turn_off_delay_s;
        let linear = figures.rise_constant_s == figures.fall_constant_s;
        let over = if linear { 0.0 } else { OVER };
        Edges {
            taken_s: 0.0,
            up_s: figures.turn_on_delay_s + figures.rise_constant_s,
            down_s: figures.turn_off_delay_s + figures.fall_constant_s,
            shortest_on_s: late + over * figures.rise_constant_s,
            shortest_off_s: over * figures.fall_constant_s - late,
            settled_s: (figures.turn_on_delay_s + GONE * figures.rise_constant_s)
                .max(figures.turn_off_delay_s + GONE * figures.fall_constant_s),
        }
    }
}

/// The current behind exponential edges.
#[derive(Clone, Debug)]
pub(super) struct ExponentialPlant {
    figures: ExponentialFigures,
    on: bool,
    current: f64,
}

impl ExponentialPlant {
    pub(super) fn new(exponential: &Exponential) -> Self {
        Self {
            figures: exponential.0,
            on: false,
            current: 0.0,
        }
    }

    /// Where the current goes, and the time constant.
    fn aim(&self) -> (f64, f64) {
        if self.on {
            (1.0, self.figures.rise_constant_s)
        } else {
            (0.0, self.figures.fall_constant_s)
        }
    }
}

impl Plant for ExponentialPlant {
    fn switch(&mut self, on: bool) {
        self.on = on;
    }

    #[inline]
    fn run<W: Watch>(&mut self, seconds: f64, watch: &mut W) -> Charge {
        let (aim, constant_s) = self.aim();
        let way = self.current - aim;
        // What is left of the way; nothing of it without a time constant.
        let left = |after: f64| {
            if way != 0.0 && constant_s > 0.0 {
                way * (-after / constant_s).exp()
            } else {
                0.0
            }
        };
        if W::SEES {
            watch.see(0.0, self.current);
            let shown_s = seconds.min(OVER * constant_s);
            for step in 1..SHOWN {
                let after = shown_s * f64::from(step) / f64::from(SHOWN);
                watch.see(after, aim + left(after));
            }
        }
        let end = left(seconds);
        watch.see(seconds, aim + end);
        self.current = aim + end;
        Charge::all(aim * seconds + (way - end) * constant_s)
    }
}

impl Settling for ExponentialPlant {
    fn pending(&self) -> f64 {
        let (aim, constant_s) = self.aim();
        (self.current - aim) * constant_s
    }

    fn settle(&mut self, on: bool) {
        self.on = on;
        self.current = f64::from(u8::from(on));
    }
}

/// Straight lines that draw one stretch of the curve.
const SHOWN: u32 = 24;
