//! A buck in an unbroken 1, once its cycles repeat: the current at any time without going from event to event.

use super::super::charge::Charge;
use super::super::watch::Blind;
use super::circuit::{Drive, State};
use super::plant::{BuckPlant, Phase};

/// Two peaks count as the same within so much of the set point.
const SAME: f64 = 1e-13;

/// Events of a cycle at the most: the switch opens, the current runs out, it closes, the set point.
const MOST_EVENTS: usize = 8;

/// A cycle that repeats, from one opening of the switch to the next, and where in it the converter is.
#[derive(Clone, Debug)]
pub(super) struct Locked {
    pieces: Vec<Piece>,
    period_s: f64,
    charge: Charge,
    at_s: f64,
}

/// From event to event.
#[derive(Clone, Copy, Debug)]
struct Piece {
    begin_s: f64,
    /// Charge of the cycle before it.
    before: Charge,
    from: State,
    drive: Drive,
    phase: Phase,
}

impl Locked {
    /// Of a plant whose gate is on; none where the cycle that comes does not repeat yet.
    pub(super) fn of(plant: &BuckPlant) -> Option<Self> {
        let mut plant = plant.clone();
        let (to_peak_s, _) = to_peak(&mut plant, |_| {})?;
        let peak = plant.state();
        let mut pieces = Vec::new();
        let (period_s, charge) = to_peak(&mut plant, |piece| pieces.push(piece))?;
        let again = plant.state();
        let [one, other] = [peak, again].map(|state| plant.scaled(state));
        let apart = (one.0 - other.0).abs().max((one.1 - other.1).abs());
        (apart <= SAME).then(|| Self {
            at_s: (period_s - to_peak_s % period_s) % period_s,
            pieces,
            period_s,
            charge,
        })
    }

    fn piece(&self, at_s: f64) -> &Piece {
        let after = self.pieces.iter().rposition(|piece| piece.begin_s <= at_s);
        &self.pieces[after.unwrap_or(0)]
    }

    /// Charge of the cycle up to a time in it.
    fn until(&self, plant: &BuckPlant, at_s: f64) -> Charge {
        let piece = self.piece(at_s);
        let mut charge = piece.before;
        let seconds = at_s - piece.begin_s;
        charge += plant
            .flowed(piece.from, piece.drive, piece.phase, seconds)
            .1;
        charge
    }

    /// Goes on so many seconds; gives the charge in A s.
    pub(super) fn pass(&mut self, plant: &BuckPlant, seconds: f64) -> Charge {
        let (before, end_s) = (self.until(plant, self.at_s), self.at_s + seconds);
        let cycles = (end_s / self.period_s).floor();
        self.at_s = (end_s - cycles * self.period_s).max(0.0);
        let after = self.until(plant, self.at_s);
        Charge {
            light: cycles * self.charge.light + after.light - before.light,
            drawn: cycles * self.charge.drawn + after.drawn - before.drawn,
        }
    }

    /// Where it is.
    pub(super) fn state(&self, plant: &BuckPlant) -> (State, Phase) {
        let piece = self.piece(self.at_s);
        let seconds = self.at_s - piece.begin_s;
        let state = plant
            .flowed(piece.from, piece.drive, piece.phase, seconds)
            .0;
        let phase = match piece.phase {
            Phase::Late(left) => Phase::Late((left - seconds).max(0.0)),
            Phase::Open(left) => Phase::Open((left - seconds).max(0.0)),
            Phase::Rising => Phase::Rising,
        };
        (state, phase)
    }
}

/// Steps to the next opening of the switch and shows every piece; none where that does not come.
fn to_peak(plant: &mut BuckPlant, mut see: impl FnMut(Piece)) -> Option<(f64, Charge)> {
    let (mut seconds, mut charge) = (0.0, Charge::default());
    for _ in 0..MOST_EVENTS {
        let was = plant.phase();
        see(Piece {
            begin_s: seconds,
            before: charge,
            from: plant.state(),
            drive: plant.drive(),
            phase: was,
        });
        let (passed, flowed) = plant.step(LONGEST_S, &mut Blind);
        seconds += passed;
        charge += flowed;
        let opened = matches!(was, Phase::Late(_)) && matches!(plant.phase(), Phase::Open(_));
        if opened {
            return Some((seconds, charge));
        }
    }
    None
}

/// Longer than any event is away.
const LONGEST_S: f64 = 1.0;
