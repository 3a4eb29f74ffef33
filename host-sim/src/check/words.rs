//! How places and figures are called in verdicts.

use crate::description::Description;

/// A fraction as a percentage of four significant digits: `0.1 %`.
pub(super) fn percent(fraction: f64) -> String {
    format!("{} %", significant(100.0 * fraction))
}

/// Four significant digits, without trailing zeros.
pub(super) fn significant(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return value.to_string();
    }
    let decimals = (3 - value.abs().log10().floor() as i32).max(0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A recipe at a light: `evening, 0.1 %`.
pub(super) fn place(description: &Description, recipe: usize, light: f64) -> String {
    format!("{}, {}", description.recipes[recipe].name, percent(light))
}

#[cfg(test)]
mod tests {
    use super::{percent, significant};

    #[test]
    fn figures_have_four_digits() {
        assert_eq!(percent(0.001), "0.1 %");
        assert_eq!(percent(1.0), "100 %");
        assert_eq!(percent(0.001_234_56), "0.1235 %");
        assert_eq!(significant(123_456.0), "123456");
        assert_eq!(significant(0.000_012_34), "0.00001234");
    }
}
