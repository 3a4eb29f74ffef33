//! Values that are short to write down.

/// Each value tried is so much beyond the one before.
const STEP: f64 = 1.05;

/// Values from one on, each a step beyond the one before and short to write down, up to the largest.
pub(super) fn steps(from: f64, most: f64) -> impl Iterator<Item = f64> {
    let values = std::iter::successors(Some(from * STEP), |value| Some(value * STEP));
    values
        .map(rounded_up)
        .take_while(move |value| *value <= most)
}

/// Three significant digits.
pub(super) fn rounded_up(value: f64) -> f64 {
    to_three_digits(value, f64::ceil)
}

pub(super) fn rounded_down(value: f64) -> f64 {
    to_three_digits(value, f64::floor)
}

fn to_three_digits(value: f64, round: fn(f64) -> f64) -> f64 {
    let digits = 2 - value.log10().floor() as i32;
    // A division by a whole power of ten gives the nearest number to the digits, a product with its inverse not always.
    let power = 10_f64.powi(digits.abs());
    let near = |value: f64| {
        let nearest = value.round();
        if (value - nearest).abs() < 1e-9 * value {
            nearest
        } else {
            round(value)
        }
    };
    if digits >= 0 {
        near(value * power) / power
    } else {
        near(value / power) * power
    }
}

#[cfg(test)]
mod tests {
    use super::{rounded_down, rounded_up, steps};

    #[test]
    fn values_are_short_to_write_down() {
        assert_eq!(
            (rounded_up(0.123_41), rounded_down(0.123_49)),
            (0.124, 0.123)
        );
        assert_eq!(
            (rounded_up(48_123_456.0), rounded_down(999.9)),
            (48_200_000.0, 999.0)
        );
        assert_eq!(
            (rounded_up(0.1), rounded_down(0.1), rounded_up(30.0)),
            (0.1, 0.1, 30.0)
        );
    }

    #[test]
    fn steps_rise_to_the_largest() {
        let steps: Vec<f64> = steps(1.0, 1.2).collect();
        assert_eq!(steps, [1.05, 1.11, 1.16]);
    }
}
