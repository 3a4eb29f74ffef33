//! Decimal numbers as most captures have them: few digits, no exponent.

/// Digits that a number can have and still be exact.
const MOST_DIGITS: usize = 15;

const POWERS: [f64; MOST_DIGITS + 1] = [
    1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// The number at the begin of a text and its length in bytes; none where it is written in another way.
///
/// *Exact*: digits and power of ten are whole numbers below 2^53, so that their quotient is the nearest number, as
/// any correct reader gives it (Clinger 1990). *Cost*: a few instructions a digit.
#[inline]
pub(super) fn decimal(text: &[u8]) -> Option<(f64, usize)> {
    let is_negative = text.first() == Some(&b'-');
    let sign = usize::from(is_negative);
    let (whole, wholes) = digits(&text[sign..], 0);
    let mut end = sign + wholes;
    let (mut number, mut places) = (whole, 0);
    if text.get(end) == Some(&b'.') {
        (number, places) = digits(&text[end + 1..], whole);
        (places > 0).then_some(())?;
        end += 1 + places;
    }
    let is_exact = wholes > 0 && wholes + places <= MOST_DIGITS;
    (is_exact && !matches!(text.get(end), Some(b'e' | b'E'))).then_some(())?;
    let number = number as f64 / POWERS[places];
    Some((if is_negative { -number } else { number }, end))
}

/// Goes on with a number by the digits that follow, and says how many there are.
#[inline]
fn digits(text: &[u8], mut number: u64) -> (u64, usize) {
    for (count, byte) in text.iter().enumerate() {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return (number, count);
        }
        number = number.wrapping_mul(10).wrapping_add(digit.into());
    }
    (number, text.len())
}

#[cfg(test)]
mod tests {
    use super::decimal;

    #[test]
    fn numbers_are_those_of_the_standard_library() {
        let mut state = 1_u64;
        for _ in 0..200_000 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let number = (state >> 11) as f64 / 9_007_199_254_740_992.0 - 0.5;
            let (places, scale) = ((state >> 5) % 12, 10_f64.powi((state % 4) as i32));
            let text = format!("{:.*}", places as usize, number * scale);
            let exact: f64 = text.parse().unwrap();
            let (found, length) = decimal(text.as_bytes()).expect("few digits");
            assert_eq!(
                (found.to_bits(), length),
                (exact.to_bits(), text.len()),
                "{text}"
            );
        }
    }

    #[test]
    fn what_is_written_otherwise_is_left_to_others() {
        let others = [
            "",
            "-",
            ".5",
            "1.",
            "1e3",
            "1.5E3",
            "1234567890123456",
            "0.1234567890123456",
            "+1",
            "nan",
        ];
        for other in others {
            assert_eq!(decimal(other.as_bytes()), None, "{other}");
        }
        assert_eq!(decimal(b"1.25,7"), Some((1.25, 4)));
    }
}
