//! `explore`: candidates a minute.

use std::io;

use super::page::{Page, table};
use super::program::Program;
use super::scratch;

/// The luminaire whose designs are searched.
const LUMINAIRE: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../host-sim/luminaires/cove-light-first-draft.toml"
);

/// Measures `explore`, and writes its section.
pub(super) fn measure(program: &Program, page: &mut Page) -> io::Result<()> {
    let report = scratch().join("report-explore");
    let report = report.to_string_lossy();
    let arguments = ["explore", LUMINAIRE, "--json", "--report", &report];
    std::fs::remove_dir_all(&*report).ok();
    let (taken, document) = program.document(&arguments)?;
    let candidates = document["searched"]["candidates"].as_f64().unwrap_or(0.0);
    let a_minute = 60.0 * candidates / taken.seconds;
    let row = vec![
        format!("{candidates} candidates of the first draft"),
        format!("{a_minute:.0} a minute, {:.0} MB", taken.peak_mb),
        "10 000 a minute".to_owned(),
        format!(
            "{:.1} s of {:.1} s on the clock",
            taken.cpu_seconds, taken.seconds
        ),
    ];
    page.matters("`explore`", format!("{a_minute:.0} candidates a minute"));
    page.section(
        "`explore`",
        "All candidates, and what is on the front judged in full; the cache is empty at the begin.",
        "cargo run --release -- explore host-sim/luminaires/cove-light-first-draft.toml",
        &table(&["what", "measured", "aim", "of processors"], &[row]),
    );
    Ok(())
}
