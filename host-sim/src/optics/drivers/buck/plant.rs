//! The buck's current, event by event.

use super::super::charge::{Charge, Plant};
use super::super::watch::Watch;
use super::circuit::{Circuit, Drive, State};
use super::locked::Locked;
use super::{Buck, BuckFigures};

/// A buck with its switch.
#[derive(Clone, Debug)]
pub(in super::super) struct BuckPlant {
    figures: BuckFigures,
    circuit: Circuit,
    full_a: f64,
    state: State,
    phase: Phase,
    /// In an unbroken 1 whose cycles repeat; state and phase are those before it.
    locked: Option<Locked>,
}

/// What the switch does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Phase {
    /// Closed, the current below the set point.
    Rising,
    /// Closed, the set point passed; opens in so many seconds.
    Late(f64),
    /// Open; closes in so many seconds, never while the stream is 0.
    Open(f64),
}

impl BuckPlant {
    pub(in super::super) fn new(buck: &Buck) -> Self {
        Self::with_full(&buck.figures, buck.design.mean_a)
    }

    /// Currents over `full_a`.
    pub(super) fn with_full(figures: &BuckFigures, full_a: f64) -> Self {
        Self {
            figures: *figures,
            circuit: figures.circuit(),
            full_a,
            state: State::default(),
            phase: Phase::Open(f64::INFINITY),
            locked: None,
        }
    }

    pub(super) fn state(&self) -> State {
        self.state
    }

    pub(super) fn phase(&self) -> Phase {
        self.phase
    }

    /// Whether its gate is on.
    pub(in super::super) fn is_on(&self) -> bool {
        self.phase != Phase::Open(f64::INFINITY)
    }

    /// As if it had come to this.
    pub(super) fn set(&mut self, state: State, phase: Phase) {
        (self.state, self.phase, self.locked) = (state, phase, None);
    }

    /// If its cycles repeat, goes on by them until the gate changes or someone looks.
    pub(super) fn lock(&mut self) {
        if self.locked.is_none() {
            self.locked = Locked::of(self);
        }
    }

    fn unlock(&mut self) {
        if let Some(locked) = self.locked.take() {
            (self.state, self.phase) = locked.state(self);
        }
    }

    /// A state in set points, and in the voltage that they make across the string's resistance.
    pub(super) fn scaled(&self, state: State) -> (f64, f64) {
        let set_a = self.figures.set_a;
        let over_knee = match self.circuit.output_f > 0.0 {
            true => state.over_knee_v / (set_a * self.circuit.ohm),
            false => 0.0,
        };
        (state.inductor_a / set_a, over_knee)
    }

    /// The same number for states and phases that differ by less than `same`.
    pub(super) fn key(&self, same: f64) -> [i64; 4] {
        let rounded = |value: f64| (value / same).round() as i64;
        let (inductor, over_knee) = self.scaled(self.state);
        let (kind, left_s) = match self.phase {
            Phase::Rising => (0, 0.0),
            Phase::Late(left_s) => (1, left_s),
            Phase::Open(f64::INFINITY) => (2, 0.0),
            Phase::Open(left_s) => (3, left_s),
        };
        let left = rounded(left_s / self.figures.off_time_s);
        [kind, left, rounded(inductor), rounded(over_knee)]
    }

    pub(super) fn drive(&self) -> Drive {
        match self.phase {
            Phase::Open(_) if self.state.inductor_a <= 0.0 => None,
            Phase::Open(_) => Some(-self.figures.diode_v),
            _ => Some(self.figures.supply_v),
        }
    }

    /// Seconds to the next event of the switch or the diode, if it comes within `limit`.
    fn next_event(&self, drive: Drive, limit: f64) -> f64 {
        let limit = match self.phase {
            Phase::Open(left) => left.min(limit),
            _ => limit,
        };
        let to = |aim| {
            drive.map_or(f64::INFINITY, |volts| {
                self.circuit.time_to(self.state, volts, aim, limit)
            })
        };
        match self.phase {
            Phase::Rising if self.state.inductor_a >= self.figures.set_a => 0.0,
            Phase::Rising => to(self.figures.set_a),
            Phase::Late(left) => left,
            Phase::Open(left) => left.min(to(0.0)),
        }
    }

    /// What the event at hand changes: of the phase, or the inductor's current runs out.
    fn happen(&mut self) {
        self.phase = match self.phase {
            Phase::Rising => Phase::Late(self.figures.delay_s),
            Phase::Late(_) => Phase::Open(self.figures.off_time_s),
            Phase::Open(left) if left <= 0.0 => Phase::Rising,
            open => {
                self.state.inductor_a = 0.0;
                open
            }
        };
    }

    /// Goes on to the next event, `limit` seconds at most; gives the seconds, and the charges in A s.
    pub(super) fn step<W: Watch>(&mut self, limit: f64, watch: &mut W) -> (f64, Charge) {
        let drive = self.drive();
        let event_s = self.next_event(drive, limit);
        let seconds = event_s.min(limit);
        let from = self.state;
        let (state, charge) = self.flowed(from, drive, self.phase, seconds);
        self.state = state;
        if W::SEES {
            self.draw(from, drive, seconds, watch);
        }
        if let Phase::Late(left) | Phase::Open(left) = &mut self.phase {
            *left -= seconds;
        }
        if event_s <= limit {
            self.happen();
        }
        (seconds, charge)
    }

    /// The state so many seconds later, without an event, and the charges in A s.
    pub(super) fn flowed(
        &self,
        from: State,
        drive: Drive,
        phase: Phase,
        seconds: f64,
    ) -> (State, Charge) {
        let state = self.circuit.after(from, drive, seconds);
        let light = self.circuit.string_charge(from, state, drive, seconds);
        let closed = !matches!(phase, Phase::Open(_));
        let stored = self.circuit.output_f * (state.over_knee_v - from.over_knee_v);
        let drawn = if closed { light + stored } else { 0.0 };
        (state, Charge { light, drawn })
    }

    fn draw<W: Watch>(&self, from: State, drive: Drive, seconds: f64, watch: &mut W) {
        let bent = self.circuit.output_f > 0.0 || self.circuit.ohm > 0.0;
        let pieces = if bent { SHOWN } else { 1 };
        for piece in 0..=pieces {
            let after = seconds * f64::from(piece) / f64::from(pieces);
            let state = self.circuit.after(from, drive, after);
            watch.see(after, self.circuit.string_a(state) / self.full_a);
        }
    }
}

/// Straight lines that draw one stretch of a bent curve.
const SHOWN: u32 = 8;

/// Turns the times of a stretch within a run into those within the run.
struct Later<'a, W> {
    watch: &'a mut W,
    done_s: f64,
}

impl<W: Watch> Watch for Later<'_, W> {
    const SEES: bool = W::SEES;

    fn begin(&mut self, after_s: f64) {
        self.done_s = after_s;
    }

    fn see(&mut self, after_s: f64, current: f64) {
        self.watch.see(self.done_s + after_s, current);
    }
}

impl Plant for BuckPlant {
    fn switch(&mut self, on: bool) {
        self.unlock();
        self.phase = if on {
            Phase::Rising
        } else {
            Phase::Open(f64::INFINITY)
        };
    }

    fn run<W: Watch>(&mut self, seconds: f64, watch: &mut W) -> Charge {
        if W::SEES {
            self.unlock();
        }
        let charge = match self.locked.take() {
            Some(mut locked) => {
                let charge = locked.pass(self, seconds);
                self.locked = Some(locked);
                charge
            }
            None => self.run_events(seconds, watch),
        };
        Charge {
            light: charge.light / self.full_a,
            drawn: charge.drawn / self.full_a,
        }
    }
}

impl BuckPlant {
    /// From event to event; gives the charge in A s.
    fn run_events<W: Watch>(&mut self, seconds: f64, watch: &mut W) -> Charge {
        let mut charge = Charge::default();
        let mut later = Later { watch, done_s: 0.0 };
        let mut left = seconds;
        while left > 0.0 {
            later.begin(seconds - left);
            let (passed, flowed) = self.step(left, &mut later);
            charge += flowed;
            left -= passed;
        }
        charge
    }
}
