//! What the first line tells: delimiter, columns, the unit of time.

use std::path::Path;
use std::str::FromStr;

use super::lines::Lines;
use crate::capture::Refusal;

/// A unit of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeUnit {
    /// `s`
    Seconds,
    /// `ms`
    Milliseconds,
    /// `us` or `µs`
    Microseconds,
    /// `ns`
    Nanoseconds,
}

impl TimeUnit {
    pub(super) fn seconds(self) -> f64 {
        match self {
            Self::Seconds => 1.0,
            Self::Milliseconds => 1e-3,
            Self::Microseconds => 1e-6,
            Self::Nanoseconds => 1e-9,
        }
    }
}

impl FromStr for TimeUnit {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text {
            "s" => Ok(Self::Seconds),
            "ms" => Ok(Self::Milliseconds),
            "us" | "µs" | "μs" => Ok(Self::Microseconds),
            "ns" => Ok(Self::Nanoseconds),
            _ => Err("allowed are s, ms, us and ns".to_owned()),
        }
    }
}

/// What is said of bytes that are no text.
pub(super) const NO_TEXT: &str = "no text in UTF-8; allowed is a CSV";

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Layout {
    pub(super) delimiter: char,
    pub(super) has_header: bool,
    pub(super) has_times: bool,
    pub(super) unit: TimeUnit,
}

impl Layout {
    pub(super) fn of(file: &Path, asked: Option<TimeUnit>) -> Result<Self, Refusal> {
        let mut lines = Lines::open(file)?;
        let Some(first) = lines.next()?.map(<[u8]>::to_vec) else {
            return Err(Refusal::of(file, "holds no row; allowed are two or more"));
        };
        let first = String::from_utf8(first).map_err(|_| lines.refuse(NO_TEXT))?;
        let delimiter = [';', '\t']
            .into_iter()
            .find(|&mark| first.contains(mark))
            .unwrap_or(',');
        let fields: Vec<_> = first.split(delimiter).collect();
        if fields.len() > 2 {
            let what = format!(
                "{} columns; allowed are time and value, or value alone",
                fields.len()
            );
            return Err(lines.refuse(what));
        }
        let layout = Self {
            delimiter,
            has_header: fields
                .iter()
                .any(|field| number(field, delimiter).is_none()),
            has_times: fields.len() == 2,
            unit: TimeUnit::Seconds,
        };
        let named = layout.has_header.then(|| unit_in(fields[0])).flatten();
        match (named, asked) {
            (Some(named), Some(asked)) if named != asked => Err(lines.refuse(
                "the header names another unit of time than --time-unit; allowed is one unit",
            )),
            (named, asked) => Ok(Self {
                unit: named.or(asked).unwrap_or(TimeUnit::Seconds),
                ..layout
            }),
        }
    }
}

/// The unit at the end of a heading: `time_ms`, `time (us)`, `t [s]`.
fn unit_in(heading: &str) -> Option<TimeUnit> {
    let bare = heading
        .trim_matches(['"', ' '])
        .trim_end_matches([')', ']']);
    let word = bare.rsplit(['_', '(', '[', ' ', '/']).next()?;
    (word.len() < bare.len())
        .then(|| word.parse().ok())
        .flatten()
}

/// A field as a number, not always a finite one. Where semicolons part the columns, a comma may part the decimals.
pub(super) fn number(field: &str, delimiter: char) -> Option<f64> {
    let bare = field.trim().trim_matches('"');
    if delimiter != ',' && bare.contains(',') {
        return fast_float2::parse(bare.replacen(',', ".", 1)).ok();
    }
    fast_float2::parse(bare).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_stand_at_the_end_of_a_heading() {
        let cases = [
            ("time_ms", Some(TimeUnit::Milliseconds)),
            ("time (us)", Some(TimeUnit::Microseconds)),
            ("\"t [ns]\"", Some(TimeUnit::Nanoseconds)),
            ("Time / s", Some(TimeUnit::Seconds)),
            ("time", None),
            ("s", None),
            ("items", None),
        ];
        for (heading, unit) in cases {
            assert_eq!(unit_in(heading), unit, "{heading}");
        }
    }

    #[test]
    fn a_comma_may_part_decimals_where_it_parts_no_columns() {
        assert_eq!(number(" 1,5", ';'), Some(1.5));
        assert_eq!(number("1,5", ','), None);
        assert_eq!(number("\"2.5e-3\"", ','), Some(2.5e-3));
    }
}
