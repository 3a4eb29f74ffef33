//! Which multiples of a density come near a whole number: the places of a first-order stream's low lines.

/// A circle of 2^32 units.
const CIRCLE: u64 = 1 << 32;

/// A move of the rotation: so many turns bring it so far round.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Move {
    turns: u64,
    by: u64,
}

/// Counts k = 1, 2, ... for which k x density lies within `reach` of a whole number, with the signed distance, without
/// trying those in between.
///
/// The gaps between such k take at most three lengths, one the sum of the others (the three-gap theorem; Slater 1967,
/// from memory); the two are found as Euclid finds a divisor.
#[derive(Clone, Debug)]
pub(super) struct NearWhole {
    forward: Move,
    back: Move,
    reach: i64,
    turns: u64,
    distance: i64,
}

impl NearWhole {
    /// `density` and `reach` in units of 2^-32, the density above 0, the reach below 2^31. None if no multiple comes
    /// near before the stream repeats.
    pub(super) fn new(density: u32, reach: u32) -> Option<Self> {
        let length = 2 * u64::from(reach) + 1;
        let mut forward = Move {
            turns: 1,
            by: u64::from(density),
        };
        let mut back = Move {
            turns: 1,
            by: CIRCLE - u64::from(density),
        };
        while forward.by.max(back.by) >= length {
            if forward.by > back.by {
                shorten(&mut forward, back, length);
            } else if back.by > forward.by {
                shorten(&mut back, forward, length);
            } else {
                return None;
            }
        }
        Some(Self {
            forward,
            back,
            reach: i64::from(reach),
            turns: 0,
            distance: 0,
        })
    }
}

/// Adds `step` to `long` until it is shorter than `length`, or than the step.
fn shorten(long: &mut Move, step: Move, length: u64) {
    let enough = (long.by - length) / step.by + 1;
    let times = enough.min((long.by - 1) / step.by);
    long.by -= times * step.by;
    long.turns += times * step.turns;
}

impl Iterator for NearWhole {
    type Item = (u64, i64);

    fn next(&mut self) -> Option<(u64, i64)> {
        let (forward, back) = (self.forward.by as i64, self.back.by as i64);
        // Forward and back are together at least as long as the window, so that never both stay inside.
        let (turns, by) = if self.distance + forward <= self.reach {
            (self.forward.turns, forward)
        } else if self.distance - back >= -self.reach {
            (self.back.turns, -back)
        } else {
            (self.forward.turns + self.back.turns, forward - back)
        };
        self.turns += turns;
        self.distance += by;
        Some((self.turns, self.distance))
    }
}

#[cfg(test)]
mod tests {
    use super::NearWhole;

    fn plainly(density: u32, reach: u32, most: u64) -> Vec<(u64, i64)> {
        (1..=most)
            .map(|k| (k, i64::from((k as u32).wrapping_mul(density) as i32)))
            .filter(|(_, distance)| distance.unsigned_abs() <= u64::from(reach))
            .collect()
    }

    #[test]
    fn finds_what_trying_every_multiple_finds() {
        let densities: [u32; 12] = [
            1,
            2,
            3,
            4_294_967,
            4_294_968,
            66 << 16,
            1 << 20,
            1 << 31,
            3 << 30,
            0x6180_3398,
            0xFFFF_FFFE,
            12_345_679,
        ];
        for density in densities {
            for reach in [0, 5, 28_633_115, 1 << 20, (1 << 31) - 1] {
                // Up to the middle of the period, where the lines end.
                let most = (1u64 << (32 - density.trailing_zeros())) / 2;
                let most = most.min(200_000);
                let found: Vec<_> = NearWhole::new(density, reach)
                    .into_iter()
                    .flatten()
                    .take_while(|&(k, _)| k <= most)
                    .filter(|&(_, distance)| distance != -(1 << 31))
                    .collect();
                let mut expected = plainly(density, reach, most);
                expected.retain(|&(_, distance)| {
                    distance != 0 || NearWhole::new(density, reach).is_some()
                });
                assert_eq!(found, expected, "density {density}, reach {reach}");
            }
        }
    }
}
