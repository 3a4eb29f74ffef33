//! A metric over the segments of a record.

/// The figures of a metric: the worst, the median, when, and what was left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// Stable identifier.
    pub id: &'static str,
    /// Plain name for people.
    pub name: &'static str,
    /// Unit; `1` for a fraction, empty for a plain number.
    pub unit: &'static str,
    /// Its band and resolution, in words.
    pub band: &'static str,
    /// The largest value of all segments.
    pub worst: Option<f64>,
    /// The median over the segments.
    pub median: Option<f64>,
    /// Begin and end of the worst segment, in s.
    pub worst_at_s: Option<(f64, f64)>,
    /// Segments judged.
    pub judged: usize,
    /// Segments not judged.
    pub not_judged: usize,
    /// Why there is no value, or why segments were left out.
    pub reason: Option<String>,
}

/// One segment's part: begin and end in s, and the value or why there is none.
pub(super) type Part = (f64, f64, Result<f64, String>);

impl Series {
    pub(super) fn empty(
        id: &'static str,
        name: &'static str,
        unit: &'static str,
        band: &'static str,
    ) -> Self {
        Self {
            id,
            name,
            unit,
            band,
            worst: None,
            median: None,
            worst_at_s: None,
            judged: 0,
            not_judged: 0,
            reason: None,
        }
    }

    pub(super) fn filled(self, parts: Vec<Part>) -> Self {
        let mut values = Vec::new();
        let mut series = self;
        for (begin_s, end_s, value) in parts {
            match value {
                Ok(value) => {
                    if series.worst.is_none_or(|worst| value > worst) {
                        series.worst = Some(value);
                        series.worst_at_s = Some((begin_s, end_s));
                    }
                    values.push(value);
                }
                Err(reason) => {
                    series.not_judged += 1;
                    series.reason.get_or_insert(reason);
                }
            }
        }
        values.sort_by(f64::total_cmp);
        Self {
            median: values.get(values.len() / 2).copied(),
            judged: values.len(),
            ..series
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Series;

    #[test]
    fn the_worst_its_time_and_the_median_leave_out_what_was_not_judged() {
        let parts = vec![
            (0.0, 3.0, Ok(1.0)),
            (1.5, 4.5, Ok(5.0)),
            (3.0, 6.0, Err("clipped".to_owned())),
            (4.5, 7.5, Ok(2.0)),
        ];
        let series = Series::empty("svm", "SVM", "", "").filled(parts);
        assert_eq!((series.worst, series.median), (Some(5.0), Some(2.0)));
        assert_eq!(series.worst_at_s, Some((1.5, 4.5)));
        assert_eq!((series.judged, series.not_judged), (3, 1));
        assert_eq!(series.reason.as_deref(), Some("clipped"));
    }
}
