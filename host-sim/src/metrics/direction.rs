//! Whether a movement ever turns back.

/// Counts control steps of a fade in which a value moves the wrong way.
#[derive(Clone, Debug)]
pub struct DirectionWatch {
    last: f64,
    direction: f64,
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
            wrong_way: 0,
        }
    }

    /// The value after the next control step.
    pub fn see(&mut self, value: f64) {
        let moved = value - self.last;
        let wrong = if self.direction == 0.0 {
            moved != 0.0
        } else {
            moved * self.direction < 0.0
        };
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
    }
}
