//! A fault run in words, the same for terminal, page and README.

use std::fmt::Write;

use crate::faults::{FaultRow, Faults, OFF_TIME_STEPS};
use crate::metrics::flashes::HAZARDOUS_HZ;
use crate::numbers::{percent, significant};

/// What stands over [`cells`].
pub(super) const HEADINGS: [&str; 6] = [
    "fault",
    "injected",
    "counted",
    "below 90 Hz",
    "flashes",
    "survived",
];

/// A row in words.
pub(super) fn cells(row: &FaultRow, faults: &Faults) -> [String; 6] {
    let counters = row.counters.iter();
    let counted: Vec<_> = counters
        .map(|(name, count)| format!("{name} {count}"))
        .collect();
    [
        row.kind.name().to_owned(),
        row.injected.to_string(),
        counted.join(", "),
        percent(row.below_90_hz),
        format!("{} Hz", significant(row.flashes_hz, 2)),
        survived(row, faults),
    ]
}

fn survived(row: &FaultRow, faults: &Faults) -> String {
    if row.survived(faults.modulation_limit) {
        return "yes".to_owned();
    }
    let wrong = [
        (
            row.outside > 0,
            format!("{} steps outside limits", row.outside),
        ),
        (row.jumps > 0, format!("{} jumps", row.jumps)),
        (
            row.off_time_steps > OFF_TIME_STEPS,
            format!("fades off by {} steps", row.off_time_steps),
        ),
        (
            row.below_90_hz > faults.modulation_limit,
            "flicker".to_owned(),
        ),
        (row.flashes_hz > HAZARDOUS_HZ, "flashes".to_owned()),
        (!row.recovered, "light elsewhere afterwards".to_owned()),
    ];
    let told: Vec<_> = wrong
        .into_iter()
        .filter_map(|(is_wrong, what)| is_wrong.then_some(what))
        .collect();
    format!("no: {}", told.join(", "))
}

/// One line about all of it.
pub(super) fn summary(faults: &Faults) -> String {
    let kinds = faults.rows.len();
    let limit = faults.modulation_limit;
    let survived = faults.rows.iter().filter(|row| row.survived(limit)).count();
    let injected: u64 = faults.rows.iter().map(|row| row.injected).sum();
    format!(
        "{} s with {injected} faults of {kinds} kinds: {survived} kinds survived",
        significant(faults.seconds(), 4)
    )
}

/// The table as Markdown, with how each kind is taken.
#[must_use]
pub fn faults_markdown(faults: &Faults) -> String {
    let mut text = format!("{}.\n\n", summary(faults));
    let _ = writeln!(text, "| {} | how |", HEADINGS.join(" | "));
    let _ = writeln!(text, "|---|---:|---|---:|---:|---|---|");
    for row in &faults.rows {
        let _ = writeln!(
            text,
            "| {} | {} |",
            cells(row, faults).join(" | "),
            row.kind.how()
        );
    }
    text
}
