//! Ticks of a gated buck that were seen before.
//!
//! What a tick does follows from the converter's state at its begin and from its bit. Currents that have run out, and
//! capacitors that have emptied, make pulses alike, and a stream of two kinds of gap comes back to few states even where they
//! have not: each tick is computed once for each state, and later looked up.

use std::collections::HashMap;

use super::super::charge::{Charge, Plant};
use super::super::watch::Blind;
use super::circuit::State;
use super::plant::{BuckPlant, Phase};

/// States are the same if they differ by less than this part of the set point, of its voltage, and of the off-time.
const SAME: f64 = 1e-12;

/// States that are kept: beyond them ticks are computed.
const MOST: usize = 1 << 14;

/// Ones after which a run's cycles may repeat; shorter runs are looked up.
const LONG_RUN: u32 = 64;

/// What ticks did from each state.
#[derive(Clone, Debug)]
pub(in super::super) struct Memory {
    places: Vec<Place>,
    known: HashMap<[i64; 4], u32>,
    /// Where the converter is; none where it is not at a place that is kept.
    at: Option<u32>,
    ones: u32,
}

#[derive(Clone, Copy, Debug)]
struct Place {
    state: State,
    phase: Phase,
    next: [Option<Step>; 2],
}

/// A tick.
#[derive(Clone, Copy, Debug)]
struct Step {
    charge: Charge,
    to: u32,
}

impl Memory {
    /// Nothing seen so far; dark.
    pub(in super::super) fn new() -> Self {
        Self {
            places: Vec::new(),
            known: HashMap::new(),
            at: None,
            ones: 0,
        }
    }

    /// The charge of the next tick in seconds at full current, as the plant gives it within 1e-10 of a tick.
    #[inline]
    pub(in super::super) fn tick(
        &mut self,
        plant: &mut BuckPlant,
        on: bool,
        tick_s: f64,
    ) -> Charge {
        self.ones = if on { self.ones.saturating_add(1) } else { 0 };
        let step = self
            .at
            .and_then(|at| self.places[at as usize].next[usize::from(on)]);
        if let Some(step) = step {
            self.at = Some(step.to);
            return step.charge;
        }
        self.compute(plant, on, tick_s)
    }

    fn compute(&mut self, plant: &mut BuckPlant, on: bool, tick_s: f64) -> Charge {
        let from = self.at;
        self.leave(plant);
        if plant.is_on() != on {
            plant.switch(on);
        }
        if self.ones >= LONG_RUN && self.ones.is_multiple_of(LONG_RUN) {
            plant.lock();
        }
        let charge = plant.run(tick_s, &mut Blind);
        if self.ones < LONG_RUN {
            self.at = self.place(plant);
        }
        if let (Some(from), Some(to)) = (from, self.at) {
            self.places[from as usize].next[usize::from(on)] = Some(Step { charge, to });
        }
        charge
    }

    /// The plant is where it should be: from now on it may be run by itself.
    pub(in super::super) fn leave(&mut self, plant: &mut BuckPlant) {
        if let Some(at) = self.at.take() {
            let place = self.places[at as usize];
            plant.set(place.state, place.phase);
        }
    }

    /// Whether it stays dark as long as the stream does.
    pub(in super::super) fn is_dark(&self) -> bool {
        let place = self.at.map(|at| (at, self.places[at as usize].next[0]));
        matches!(place, Some((at, Some(step))) if step.to == at && step.charge == Charge::default())
    }

    /// Where the plant is, a new place if need be; none where there is no more room.
    fn place(&mut self, plant: &BuckPlant) -> Option<u32> {
        let (state, phase) = (plant.state(), plant.phase());
        let key = plant.key(SAME);
        if let Some(&known) = self.known.get(&key) {
            return Some(known);
        }
        if self.places.len() == MOST {
            return None;
        }
        let number = self.places.len() as u32;
        self.known.insert(key, number);
        self.places.push(Place {
            state,
            phase,
            next: [None; 2],
        });
        Some(number)
    }
}
