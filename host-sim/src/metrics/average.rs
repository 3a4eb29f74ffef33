//! Average against what was asked.

/// `|value - asked| / asked`, for `asked` above 0.
#[must_use]
pub fn relative_error(value: f64, asked: f64) -> f64 {
    (value - asked).abs() / asked
}

/// The relative error that counting alone may show: a window may hold up to one and a half pulse more or less than
/// its share (the bound of the dithered modulator; first order keeps one).
#[must_use]
pub fn count_resolution(expected_ones: f64) -> f64 {
    1.5 / expected_ones
}
