//! Figures for a buck's design page.

use super::super::DriverError;
use super::super::charge::Plant;
use super::super::watch::Blind;
use super::circuit::{Circuit, State};
use super::plant::{BuckPlant, Phase};
use super::search::crossing;
use super::{Buck, BuckFigures};

/// What a buck does while the stream is an unbroken 1, and at its edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BuckDesign {
    /// Highest current of the inductor in A: the set point and what the delay adds.
    pub peak_a: f64,
    /// Highest less lowest current of the inductor in A.
    pub ripple_a: f64,
    /// Seconds that the switch is closed in a cycle.
    pub on_time_s: f64,
    /// Cycles a second.
    pub frequency_hz: f64,
    /// Mean current of the string in A: the full current.
    pub mean_a: f64,
    /// Part of the time that the switch is closed.
    pub closed: f64,
    /// Whether the inductor's current never runs out.
    pub continuous: bool,
    /// Seconds from no current to the first peak: the shortest on-time that reaches it, and so the shortest usable one.
    pub rise_s: f64,
    /// Seconds from the peak to no current of the inductor.
    pub fall_s: f64,
}

/// Least and most mean current over the nominal one, as its supply and delay stray.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanSpread {
    /// Least mean over the nominal one.
    pub least: f64,
    /// Most mean over the nominal one.
    pub most: f64,
}

impl Buck {
    /// Mean current as the supply strays by +- `supply` (a fraction) and the delay by +- `delay` (a fraction).
    ///
    /// # Errors
    /// [`DriverError`] where a corner of the tolerances cannot be.
    pub fn mean_spread(&self, supply: f64, delay: f64) -> Result<MeanSpread, DriverError> {
        let mut spread = MeanSpread {
            least: f64::INFINITY,
            most: 0.0,
        };
        for (supply, delay) in [
            (-supply, -delay),
            (-supply, delay),
            (supply, -delay),
            (supply, delay),
        ] {
            let corner = Self::new(BuckFigures {
                supply_v: self.figures.supply_v * (1.0 + supply),
                delay_s: self.figures.delay_s * (1.0 + delay),
                ..self.figures
            })?;
            let mean = corner.design.mean_a / self.design.mean_a;
            spread.least = spread.least.min(mean);
            spread.most = spread.most.max(mean);
        }
        Ok(spread)
    }

    /// The off-time in seconds that gives a ripple of the inductor's current in A; none for a ripple of the whole peak
    /// or more, or of nothing. The capacitor's part in it is left out.
    #[must_use]
    pub fn off_time_for_ripple(&self, ripple_a: f64) -> Option<f64> {
        let circuit = self.plain_circuit();
        let peak_a = peak(&self.figures, &circuit);
        (ripple_a > 0.0 && ripple_a < peak_a).then(|| {
            let from = at(peak_a);
            circuit.time_to(
                from,
                -self.figures.diode_v,
                peak_a - ripple_a,
                f64::INFINITY,
            )
        })
    }

    /// The off-time in seconds that gives so many cycles a second; none where continuous conduction has no such one.
    #[must_use]
    pub fn off_time_for_frequency(&self, frequency_hz: f64) -> Option<f64> {
        if frequency_hz.is_nan() || frequency_hz <= 0.0 {
            return None;
        }
        let circuit = self.plain_circuit();
        let peak_a = peak(&self.figures, &circuit);
        let all = circuit.time_to(at(peak_a), -self.figures.diode_v, 0.0, f64::INFINITY);
        let longest = all.min(1.0 / frequency_hz);
        let excess = |off_time_s: f64| {
            let valley = circuit.after(at(peak_a), Some(-self.figures.diode_v), off_time_s);
            let on_time_s = circuit.time_to(valley, self.figures.supply_v, peak_a, f64::INFINITY);
            on_time_s + off_time_s - 1.0 / frequency_hz
        };
        let found = crossing(excess, longest, longest / 2.0);
        found.is_finite().then_some(found)
    }

    fn plain_circuit(&self) -> Circuit {
        Circuit {
            output_f: 0.0,
            ..self.figures.circuit()
        }
    }
}

fn at(inductor_a: f64) -> State {
    State {
        inductor_a,
        over_knee_v: 0.0,
    }
}

/// The set point and what the delay adds, in A.
fn peak(figures: &BuckFigures, circuit: &Circuit) -> f64 {
    let later = circuit.after(at(figures.set_a), Some(figures.supply_v), figures.delay_s);
    later.inductor_a
}

/// Currents at the begin and the end of the off-time, in A.
pub(super) fn peak_and_valley(figures: &BuckFigures, circuit: &Circuit) -> (f64, f64) {
    let peak_a = peak(figures, circuit);
    let valley = circuit.after(at(peak_a), Some(-figures.diode_v), figures.off_time_s);
    (peak_a, valley.inductor_a.max(0.0))
}

/// Cycles after which a mean counts as settled, whatever it still does.
const MOST_CYCLES: usize = 20_000;

/// Runs an unbroken 1 until its cycles repeat.
pub(super) fn of(figures: &BuckFigures) -> BuckDesign {
    let mut plant = BuckPlant::with_full(figures, 1.0);
    plant.switch(true);
    let first = Cycle::next(&mut plant);
    let mut cycle = Cycle::next(&mut plant);
    for _ in 0..MOST_CYCLES {
        let last = cycle;
        cycle = Cycle::next(&mut plant);
        if (cycle.charge - last.charge).abs() <= 1e-14 * last.charge {
            break;
        }
    }
    let length_s = cycle.on_s + cycle.off_s;
    let peak_a = cycle.peak.inductor_a;
    BuckDesign {
        peak_a,
        ripple_a: peak_a - cycle.valley_a,
        on_time_s: cycle.on_s,
        frequency_hz: 1.0 / length_s,
        mean_a: cycle.charge / length_s,
        closed: cycle.on_s / length_s,
        continuous: cycle.valley_a > 0.0,
        rise_s: first.on_s,
        fall_s: figures.circuit().time_to(
            cycle.peak,
            -figures.diode_v,
            0.0,
            fall_limit(figures, peak_a),
        ),
    }
}

/// No fall takes longer: the string's knee and the diode alone, or a hundred time constants.
fn fall_limit(figures: &BuckFigures, peak_a: f64) -> f64 {
    let circuit = figures.circuit();
    let straight = figures.inductance_h * peak_a / (circuit.knee_v + figures.diode_v);
    let bent = 100.0 * (figures.inductance_h / circuit.ohm + circuit.ohm * circuit.output_f);
    straight.min(bent)
}

/// From a closing switch to the next one.
#[derive(Clone, Copy, Debug)]
struct Cycle {
    on_s: f64,
    off_s: f64,
    peak: State,
    valley_a: f64,
    charge: f64,
}

impl Cycle {
    fn next(plant: &mut BuckPlant) -> Self {
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
