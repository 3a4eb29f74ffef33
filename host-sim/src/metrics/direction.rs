//! Whether a movement ever turns back.

/// Counts control steps of a fade in which a value moves the wrong way.
#[derive(Clone, Debug)]
pub struct DirectionWatch {
    last: f64,
    direction: f64,
    hair: f64,
    /// Steps that went the wrong way.
    pub wrong_way: u64,
}

impl DirectionWatch {
    /// Of a value that begins somewhere and should go up (1), down (-1) or stand (0).
    #[must_use]
    pub fn new(begin: f64, direction: f64) -> Self {
        Self {
            last: begin,
            direction,
            hair: 0.0,
            wrong_way: 0,
        }
    }

    /// Moves of at most this part of the value are of its rounding and do not count.
    #[must_use]
    pub fn but_for(self, hair: f64) -> Self {
        Self { hair, ..self }
    }

    /// The value after the next control step.
    pub fn see(&mut self, value: f64) {
        let moved = value - self.last;
        let wrong = if self.direction == 0.0 {
            moved != 0.0
        } else {
            moved * self.direction < 0.0
        };
        let wrong = wrong && moved.abs() > self.hair * value.abs();
        self.wrong_way += u64::from(wrong);
        self.last = value;
    }
}

#[cfg(test)]
mod tests {
    use super::DirectionWatch;

    #[test]
    fn counts_steps_back() {
        let count = |direction, values: &[f64]| {
            let mut watch = DirectionWatch::new(1.0, direction);
            values.iter().for_each(|&value| watch.see(value));
            watch.wrong_way
        };
        assert_eq!(count(1.0, &[1.0, 2.0, 3.0]), 0);
        assert_eq!(count(1.0, &[2.0, 1.5, 3.0, 2.9]), 2);
        assert_eq!(count(-1.0, &[0.5, 0.5, 0.6]), 1);
        assert_eq!(count(0.0, &[1.0, 1.1, 1.1]), 1);
        let mut watch = DirectionWatch::new(1.0, 1.0).but_for(1e-3);
        for value in [0.9995, 0.999, 0.998, 2.0, 1.997] {
            watch.see(value);
        }
        assert_eq!(watch.wrong_way, 2);
    }
}
