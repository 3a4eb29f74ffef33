//! Whether everything that moves arrives together and exactly.

/// How the values of a fade arrived.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Arrival {
    /// Control steps between the first and the last arrival of a value that moved.
    pub spread: u32,
    /// Largest distance from a target at the end, in units of the value.
    pub error: u32,
}

/// Follows the values of one fade to their targets.
#[derive(Clone, Debug)]
pub struct ArrivalWatch {
    values: Vec<Value>,
    steps: u32,
}

#[derive(Clone, Debug)]
struct Value {
    now: u32,
    target: u32,
    arrived: Option<u32>,
    moves: bool,
}

impl ArrivalWatch {
    /// Of values that begin somewhere and have targets.
    #[must_use]
    pub fn new(begin_and_target: impl IntoIterator<Item = (u32, u32)>) -> Self {
        let value = |(now, target)| Value {
            now,
            target,
            arrived: None,
            moves: now != target,
        };
        Self {
            values: begin_and_target.into_iter().map(value).collect(),
            steps: 0,
        }
    }

    /// The values after the next control step.
    pub fn see(&mut self, values: impl IntoIterator<Item = u32>) {
        self.steps += 1;
        for (value, now) in self.values.iter_mut().zip(values) {
            value.now = now;
            value.arrived = if now == value.target {
                value.arrived.or(Some(self.steps))
            } else {
                None
            };
        }
    }

    /// After the last control step. A value that is not there counts as one step late.
    #[must_use]
    pub fn result(&self) -> Arrival {
        let moved = || self.values.iter().filter(|value| value.moves);
        let arrivals = || moved().map(|value| value.arrived.unwrap_or(self.steps + 1));
        Arrival {
            spread: arrivals().max().unwrap_or(0) - arrivals().min().unwrap_or(0),
            error: self
                .values
                .iter()
                .map(|value| value.now.abs_diff(value.target))
                .max()
                .unwrap_or(0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Arrival, ArrivalWatch};

    #[test]
    fn tells_late_and_missed_arrivals() {
        let mut watch = ArrivalWatch::new([(0, 4), (9, 3), (5, 5)]);
        watch.see([2, 3, 5]);
        watch.see([4, 3, 5]);
        assert_eq!(
            watch.result(),
            Arrival {
                spread: 1,
                error: 0
            }
        );
        watch.see([4, 1, 5]);
        assert_eq!(
            watch.result(),
            Arrival {
                spread: 2,
                error: 2
            }
        );
    }
}
