//! How near found values come to those of a table.

/// Asserts value by value and says at its end how near the worst came (`cargo test -- --nocapture` shows it).
pub struct Agreement {
    table: &'static str,
    worst: Option<(f64, String)>,
}

impl Agreement {
    /// With a table of this name.
    #[must_use]
    pub fn with(table: &'static str) -> Self {
        Self { table, worst: None }
    }

    /// Asserts `|found - expected| <= tolerance`.
    #[track_caller]
    pub fn see(&mut self, what: &str, found: f64, expected: f64, tolerance: f64) {
        let deviation = (found - expected).abs();
        assert!(
            deviation <= tolerance,
            "{} {what}: {found} is not {expected} +- {tolerance}",
            self.table
        );
        let used = deviation / tolerance;
        if self.worst.as_ref().is_none_or(|(worst, _)| used > *worst) {
            let line = format!("{what}: {found:.6} for {expected:.6}, off by {deviation:.1e}");
            self.worst = Some((used, line));
        }
    }
}

impl Drop for Agreement {
    fn drop(&mut self) {
        if let Some((used, line)) = &self.worst {
            println!(
                "{}: {:.0} % of the tolerance at {line}",
                self.table,
                100.0 * used
            );
        }
    }
}
