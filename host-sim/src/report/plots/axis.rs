//! From a value to its place along an axis, and the values worth a tick mark.

use crate::numbers::significant;

/// How values spread along an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::report) enum Scale {
    /// In proportion.
    Linear,
    /// A decade is as long as any other.
    Log,
}

pub(super) struct Axis {
    pub(super) title: String,
    pub(super) marks: Vec<(f64, String)>,
    scale: Scale,
    low: f64,
    high: f64,
}

/// Intervals that a linear axis has at most.
const INTERVALS: f64 = 7.0;
/// Decades that a log axis shows at most; what lies below stands at its low end.
const DECADES: i32 = 6;
/// A value so near beyond a decade opens no further one; it stands at the end. About 2 %.
const NEAR: f64 = 0.01;

impl Axis {
    /// Covers `values`; a linear axis begins at 0 and ends at a mark.
    pub(super) fn over(
        scale: Scale,
        title: &str,
        values: impl Iterator<Item = f64>,
        label: impl Fn(f64) -> String,
    ) -> Self {
        let lit = values.filter(|value| value.is_finite() && *value > 0.0);
        let (low, high) = lit.fold((f64::INFINITY, 0.0_f64), |(low, high), value| {
            (low.min(value), high.max(value))
        });
        let (low, high) = if high > 0.0 { (low, high) } else { (0.1, 1.0) };
        match scale {
            Scale::Linear => {
                let spacing = spacing(high / INTERVALS);
                let high = (high / spacing - 1e-9).ceil() * spacing;
                Self::linear(title, 0.0, high, label)
            }
            Scale::Log => Self::decades(title, low, high, label),
        }
    }

    /// Seconds from 0 to `end_s`, labelled in a unit that suits them.
    pub(super) fn time(end_s: f64) -> Self {
        let (unit, seconds) = time_unit(end_s);
        let title = format!("time in {unit}");
        let mut axis = Self::linear(&title, 0.0, end_s / seconds, |time| significant(time, 4));
        axis.high = end_s;
        axis.marks.iter_mut().for_each(|mark| mark.0 *= seconds);
        axis
    }

    pub(super) fn linear(title: &str, low: f64, high: f64, label: impl Fn(f64) -> String) -> Self {
        let spacing = spacing((high - low) / INTERVALS);
        let first = (low / spacing).ceil() as i64;
        let last = (high / spacing * (1.0 + 1e-9)).floor() as i64;
        let marks = (first..=last).map(|i| i as f64 * spacing);
        Self {
            title: title.to_owned(),
            marks: marks.map(|mark| (mark, label(mark))).collect(),
            scale: Scale::Linear,
            low,
            high,
        }
    }

    fn decades(title: &str, low: f64, high: f64, label: impl Fn(f64) -> String) -> Self {
        let last = (high.log10() - NEAR).ceil() as i32;
        let first = ((low.log10() + NEAR).floor() as i32).clamp(last - DECADES, last - 1);
        let marks = (first..=last).map(|exponent| 10_f64.powi(exponent));
        Self {
            title: title.to_owned(),
            marks: marks.map(|mark| (mark, label(mark))).collect(),
            scale: Scale::Log,
            low: 10_f64.powi(first),
            high: 10_f64.powi(last),
        }
    }

    /// Place of a value, 0 at the low end to 1 at the high one; what lies outside stands at the end.
    pub(super) fn place(&self, value: f64) -> f64 {
        let (low, high, value) = match self.scale {
            Scale::Linear => (self.low, self.high, value),
            Scale::Log => (
                self.low.log10(),
                self.high.log10(),
                value.max(self.low).log10(),
            ),
        };
        ((value - low) / (high - low)).clamp(0.0, 1.0)
    }
}

/// The smallest of 1, 2, 5, 10, 20, ... that is no less.
fn spacing(least: f64) -> f64 {
    let decade = 10_f64.powf(least.log10().floor());
    let fits = |factor: &f64| factor * decade >= least * (1.0 - 1e-9);
    [1.0, 2.0, 5.0, 10.0].into_iter().find(fits).unwrap_or(10.0) * decade
}

/// A unit of time that suits a span, and its length in seconds.
fn time_unit(span_s: f64) -> (&'static str, f64) {
    let units = [("h", 3600.0), ("min", 60.0), ("s", 1.0), ("ms", 1e-3)];
    units
        .into_iter()
        .find(|unit| span_s >= 2.0 * unit.1)
        .unwrap_or(("µs", 1e-6))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marks(axis: &Axis) -> Vec<f64> {
        axis.marks.iter().map(|mark| mark.0).collect()
    }

    #[test]
    fn linear_marks_are_round_and_inside() {
        let axis = Axis::linear("", 0.0, 65_535.0, |v| v.to_string());
        assert_eq!(
            marks(&axis),
            [0, 1, 2, 3, 4, 5, 6].map(|i| f64::from(i) * 10_000.0)
        );
        assert_eq!(axis.place(65_535.0), 1.0);
        assert_eq!(axis.place(-1.0), 0.0);
    }

    #[test]
    fn a_linear_axis_over_values_ends_at_a_mark() {
        let axis = Axis::over(Scale::Linear, "", [2290.0].into_iter(), |v| v.to_string());
        assert_eq!(marks(&axis).last(), Some(&2500.0));
        assert_eq!(axis.place(2500.0), 1.0);
    }

    #[test]
    fn log_marks_are_decades_around_the_values() {
        let axis = Axis::over(Scale::Log, "", [0.0, 0.000_999, 1.0].into_iter(), |v| {
            v.to_string()
        });
        assert_eq!(marks(&axis).len(), 4);
        assert_eq!(axis.place(1.0), 1.0);
        assert_eq!(axis.place(0.0), 0.0);
        assert!((axis.place(0.1) - 2.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn very_low_values_do_not_stretch_a_log_axis() {
        let axis = Axis::over(Scale::Log, "", [1e-12, 1.0].into_iter(), |v| v.to_string());
        assert_eq!(marks(&axis).len(), 7);
    }

    #[test]
    fn time_is_labelled_in_a_fitting_unit() {
        let axis = Axis::time(2400.0);
        assert_eq!(axis.title, "time in min");
        assert_eq!(axis.marks[2], (1200.0, "20".to_owned()));
        assert_eq!(Axis::time(3e-5).title, "time in µs");
    }

    #[test]
    fn nothing_lit_still_gives_an_axis() {
        for scale in [Scale::Linear, Scale::Log] {
            let axis = Axis::over(scale, "", std::iter::empty(), |v| v.to_string());
            assert!(axis.place(0.5).is_finite() && marks(&axis).len() >= 2);
        }
    }
}
