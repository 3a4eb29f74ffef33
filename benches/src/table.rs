//! The table after the run: times that criterion has measured, each beside its peer's and the errors of both.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use serde_json::Value;

/// What a general-purpose crate does instead.
pub struct Peer {
    /// Name of its bench.
    pub name: &'static str,
    /// Measured at the time of printing.
    pub error: fn() -> String,
}

/// One function, beside its peer if it has one.
pub struct Row {
    /// Name of the bench, `group/function`.
    pub ours: &'static str,
    /// Measured at the time of printing.
    pub error: Option<fn() -> String>,
    /// Whom to compare with.
    pub peer: Option<Peer>,
    /// The time shown is the bench's divided by this.
    pub parts: u32,
}

/// Where criterion keeps its results, and since when they count.
pub struct Results {
    folder: PathBuf,
    since: SystemTime,
}

impl Results {
    /// Of the run that starts now.
    pub fn from_now(folder: &Path) -> Self {
        Self {
            folder: folder.to_owned(),
            since: SystemTime::now(),
        }
    }

    /// Nanoseconds of a bench that this run has measured.
    fn nanoseconds(&self, bench: &str) -> Option<f64> {
        let file = self
            .folder
            .join(bench.replace('/', "_"))
            .join("new/estimates.json");
        let is_new = file.metadata().ok()?.modified().ok()? >= self.since;
        let estimates: Value = serde_json::from_slice(&std::fs::read(&file).ok()?).ok()?;
        estimates["median"]["point_estimate"]
            .as_f64()
            .filter(|_| is_new)
    }

    /// Prints the rows that this run has measured.
    pub fn print(&self, rows: &[Row]) {
        let lines: Vec<String> = rows.iter().filter_map(|row| self.line(row)).collect();
        if !lines.is_empty() {
            let head = [
                "function",
                "ns",
                "peer",
                "ns",
                "ratio",
                "error",
                "error of peer",
            ];
            println!("{}\n{}", line(head), lines.join("\n"));
        }
    }

    fn line(&self, row: &Row) -> Option<String> {
        let parts = f64::from(row.parts);
        let ns = self.nanoseconds(row.ours)? / parts;
        let ours = format!("{ns:.2}");
        let error = row.error.map_or(String::new(), |error| error());
        let Some((peer, bench_ns)) = row
            .peer
            .as_ref()
            .and_then(|peer| Some((peer, self.nanoseconds(peer.name)?)))
        else {
            return Some(line([row.ours, &ours, "", "", "", &error, ""]));
        };
        let peer_ns = bench_ns / parts;
        let (theirs, ratio) = (format!("{peer_ns:.2}"), format!("{:.2}", peer_ns / ns));
        Some(line([
            row.ours,
            &ours,
            peer.name,
            &theirs,
            &ratio,
            &error,
            &(peer.error)(),
        ]))
    }
}

fn line([ours, ns, peer, peer_ns, ratio, error, peer_error]: [&str; 7]) -> String {
    let text =
        format!("{ours:22} {ns:>9}  {peer:20} {peer_ns:>7} {ratio:>6}  {error:29} {peer_error}");
    text.trim_end().to_owned()
}
