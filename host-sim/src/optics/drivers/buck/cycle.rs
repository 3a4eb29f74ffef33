//! Cycles of a buck whose stream is an unbroken 1.

use super::super::watch::Blind;
use super::circuit::State;
use super::plant::{BuckPlant, Phase};

/// Cycles after which a mean counts as settled, whatever it still does.
const MOST_CYCLES: usize = 20_000;

/// From a closing switch to the next one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cycle {
    pub(super) on_s: f64,
    pub(super) off_s: f64,
    pub(super) peak: State,
    pub(super) valley_a: f64,
    pub(super) charge: f64,
}

impl Cycle {
    /// The first that repeats the one before it.
    pub(super) fn settled(plant: &mut BuckPlant) -> Self {
        let mut cycle = Self::next(plant);
        for _ in 0..MOST_CYCLES {
            let last = cycle;
            cycle = Self::next(plant);
            if (cycle.charge - last.charge).abs() <= 1e-14 * last.charge {
                break;
            }
        }
        cycle
    }

    /// The one that begins, its switch just closed.
    pub(super) fn next(plant: &mut BuckPlant) -> Self {
        let mut cycle = Self {
            on_s: 0.0,
            off_s: 0.0,
            peak: State::default(),
            valley_a: 0.0,
            charge: 0.0,
        };
        loop {
            let was = plant.phase();
            let open = matches!(was, Phase::Open(_));
            let limit = if open { f64::INFINITY } else { LONGEST_RISE_S };
            let (seconds, charge) = plant.step(limit, &mut Blind);
            cycle.charge += charge.light;
            if open {
                cycle.off_s += seconds;
            } else {
                cycle.on_s += seconds;
            }
            if matches!(was, Phase::Late(_)) {
                cycle.peak = plant.state();
            }
            if open && plant.phase() == Phase::Rising {
                cycle.valley_a = plant.state().inductor_a;
                return cycle;
            }
        }
    }
}

/// Longer than any rise: 1 H to 1 000 A from a hundredth of a volt is not meant.
const LONGEST_RISE_S: f64 = 1.0;
