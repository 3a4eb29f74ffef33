//! The Pareto front: designs that no other design beats in one aim without being beaten in another.

/// Aims: edges a second, cycles a tick, tick rate, worst figure over its limit. Less is better in each.
pub(super) type Aims = [f64; 4];

/// Margins are told apart in steps of 5 % of the limit: a finer difference is none to design by.
const MARGIN_STEP: f64 = 0.05;

/// With the margin rounded up to its step.
pub(super) fn aims(edges_hz: f64, cycles: f64, tick_hz: f64, margin: f64) -> Aims {
    [edges_hz, cycles, tick_hz, (margin / MARGIN_STEP).ceil()]
}

/// Places of the front, in their order; of designs with the same aims the first.
pub(super) fn front(designs: &[Aims]) -> Vec<usize> {
    let is_beaten = |k: usize| {
        let others = designs.iter().enumerate();
        others
            .into_iter()
            .any(|(j, other)| beats((j, other), (k, &designs[k])))
    };
    (0..designs.len()).filter(|&k| !is_beaten(k)).collect()
}

/// Whether the one at its place beats the other at its own.
pub(super) fn beats((j, one): (usize, &Aims), (k, other): (usize, &Aims)) -> bool {
    let no_worse = one.iter().zip(other).all(|(one, two)| *one <= *two);
    no_worse && (one != other || j < k)
}

#[cfg(test)]
mod tests {
    use super::{aims, front};

    #[test]
    fn the_front_is_what_nothing_beats() {
        let designs = [
            aims(10.0, 5.0, 1e6, 0.51),
            aims(10.0, 5.0, 1e6, 0.52), // as good within a step, and later
            aims(20.0, 5.0, 1e6, 0.51), // more edges
            aims(20.0, 5.0, 1e6, 0.30), // and a better margin
            aims(9.0, 5.0, 2e6, 0.51),  // fewer edges, faster ticks
        ];
        assert_eq!(front(&designs), [0, 3, 4]);
        assert_eq!(front(&[]), [0; 0]);
        // A margin is rounded up: a hair above a step is not as good as the step.
        assert_eq!(
            front(&[aims(1.0, 1.0, 1.0, 0.26), aims(1.0, 1.0, 1.0, 0.25)]),
            [1]
        );
    }
}
