//! Numbers as people read them: significant digits, prefixes for hertz and seconds, no locale.

/// `value` rounded to `digits` significant digits, without trailing zeros; exponents only far from 1.
pub(crate) fn significant(value: f64, digits: usize) -> String {
    let rounded = format!("{:.*e}", digits - 1, value);
    let Some((mantissa, exponent)) = rounded.split_once('e') else {
        return rounded; // an infinity
    };
    match exponent.parse::<i32>() {
        Ok(exponent @ -4..=5) => {
            let decimals = usize::try_from(digits as i32 - 1 - exponent).unwrap_or(0);
            trimmed(&format!("{value:.decimals$}")).to_owned()
        }
        _ => format!("{}e{exponent}", trimmed(mantissa)),
    }
}

/// A value with its unit, four significant digits. `1` is the unit of a fraction, shown in per cent; a plain number
/// has none, and so are distances in u'v' shown.
pub(crate) fn quantity(value: f64, unit: &str) -> String {
    match unit {
        "1" => percent(value),
        "" | "delta u'v'" => significant(value, 4),
        "Hz" => prefixed(value, unit, &HERTZ),
        "s" => prefixed(value, unit, &SECONDS),
        _ => format!("{} {unit}", significant(value, 4)),
    }
}

/// A fraction in per cent.
pub(crate) fn percent(fraction: f64) -> String {
    format!("{} %", significant(fraction * 100.0, 4))
}

/// A number as TOML and Rust write it, thousands set apart: `3_000_000`.
pub(crate) fn grouped(number: f64) -> String {
    let plain = number.to_string();
    let (whole, fraction) = plain.split_at(plain.find('.').unwrap_or(plain.len()));
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index) % 3 == 0 {
            grouped.push('_');
        }
        grouped.push(digit);
    }
    grouped + fraction
}

const HERTZ: [(f64, &str); 3] = [(1e6, "M"), (1e3, "k"), (1.0, "")];
const SECONDS: [(f64, &str); 4] = [(1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n")];

fn prefixed(value: f64, unit: &str, prefixes: &[(f64, &str)]) -> String {
    // A value that rounds up to the next prefix takes it.
    let fits = prefixes
        .iter()
        .find(|(size, _)| value.abs() >= size * 0.999_95);
    let smallest = if value == 0.0 { None } else { prefixes.last() };
    let (size, prefix) = fits.or(smallest).unwrap_or(&(1.0, ""));
    format!("{} {prefix}{unit}", significant(value / size, 4))
}

fn trimmed(number: &str) -> &str {
    if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        number
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn significant_digits_are_kept_and_zeros_dropped() {
        let cases = [
            (0.0, "0"),
            (0.001, "0.001"),
            (0.000_212_36, "0.0002124"),
            (1.0, "1"),
        ];
        let more = [
            (123_456.0, "123456"),
            (9.99996, "10"),
            (1.5e-5, "1.5e-5"),
            (-2.5e7, "-2.5e7"),
        ];
        for (value, text) in cases.into_iter().chain(more) {
            assert_eq!(significant(value, 4), text);
        }
    }

    #[test]
    fn whole_numbers_are_grouped() {
        let cases = [
            (0.0, "0"),
            (999.0, "999"),
            (1e3, "1_000"),
            (9_100_000.0, "9_100_000"),
        ];
        cases
            .iter()
            .for_each(|&(value, text)| assert_eq!(grouped(value), text));
    }

    #[test]
    fn prefixes_fit_the_unit() {
        assert_eq!(quantity(1.0 / 90.0, "s"), "11.11 ms");
        assert_eq!(quantity(2.5e-7, "s"), "250 ns");
        assert_eq!(quantity(1000.0, "Hz"), "1 kHz");
        assert_eq!(quantity(999.96, "Hz"), "1 kHz");
        assert_eq!(quantity(0.25, "Hz"), "0.25 Hz");
        assert_eq!(quantity(2400.0, "s"), "2400 s");
        assert_eq!(quantity(0.0, "s"), "0 s");
        assert_eq!(quantity(0.3, ""), "0.3");
        assert_eq!(quantity(0.00025, "1"), "0.025 %");
        assert_eq!(quantity(0.3, "lm"), "0.3 lm");
    }
}
