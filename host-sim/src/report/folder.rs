//! The report's folder: whole or not there, and never in place of somebody's files.

use std::fmt;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::{Checked, html, json, traces};

/// Lies in every folder that the tool wrote; only such a folder is replaced.
const MARKER: &str = ".milliglow-report";
const MARK: &str = "Written by milliglow, which replaces this folder.\n";

/// Why a report's folder was not written. Nothing was changed then.
#[derive(Debug)]
pub enum FolderError {
    /// Something is there that the tool did not write.
    NotOurs(PathBuf),
    /// The system refused.
    Io {
        /// The report's folder.
        folder: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl fmt::Display for FolderError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotOurs(folder) => write!(
                formatter,
                "{}: not written, since it exists and is no report of milliglow; \
                 name another folder or move this one away",
                folder.display()
            ),
            Self::Io { folder, source } => {
                write!(
                    formatter,
                    "{}: cannot write the report: {source}",
                    folder.display()
                )
            }
        }
    }
}

impl std::error::Error for FolderError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::NotOurs(_) => None,
            Self::Io { source, .. } => Some(source),
        }
    }
}

/// Where the report of a luminaire goes when nobody says otherwise: `milliglow-report/NAME`.
///
/// Letters, digits, `-` and `_` of the name stay; each run of anything else becomes one `-`.
#[must_use]
pub fn default_folder(name: &str) -> PathBuf {
    let kept = |c: char| c.is_alphanumeric() || c == '_';
    let words: Vec<_> = name
        .split(|c| !kept(c))
        .filter(|word| !word.is_empty())
        .collect();
    let safe = if words.is_empty() {
        "luminaire".to_owned()
    } else {
        words.join("-")
    };
    Path::new("milliglow-report").join(safe)
}

/// A report of ours, or an empty folder, which holds nothing to lose.
fn is_ours(folder: &Path) -> bool {
    let is_empty = || fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_none());
    folder.join(MARKER).is_file() || is_empty()
}

/// Writes page, JSON and traces of a check into `folder`, making its parents and replacing an older report.
///
/// `locus` is the spectral locus in u', v' for the page's colour plot.
///
/// # Errors
/// When the folder exists and is not ours, or the system refuses.
pub fn write(checked: &Checked, locus: &[(f64, f64)], folder: &Path) -> Result<(), FolderError> {
    let page = ("report.html", html(checked, locus));
    let document = ("check.json", format!("{:#}\n", json(checked)));
    let traces = traces(checked);
    let traces = traces.into_iter().map(|trace| (trace.name, trace.text));
    let files: Vec<_> = [page, document].into_iter().chain(traces).collect();
    write_files(&files, folder)
}

/// Makes an empty report's folder and its parents, or sees that the one that is there is ours.
///
/// # Errors
/// When the folder exists and is not ours, or the system refuses.
pub fn prepare(folder: &Path) -> Result<(), FolderError> {
    if folder.symlink_metadata().is_ok() {
        let ours = is_ours(folder).then_some(());
        return ours.ok_or_else(|| FolderError::NotOurs(folder.to_owned()));
    }
    let marked = fs::create_dir_all(folder).and_then(|()| fs::write(folder.join(MARKER), MARK));
    marked.map_err(|source| FolderError::Io {
        folder: folder.to_owned(),
        source,
    })
}

/// Writes a report of these files, names and contents, whole or not at all.
pub(super) fn write_files(files: &[(&str, String)], folder: &Path) -> Result<(), FolderError> {
    let exists = folder.symlink_metadata().is_ok();
    if exists && !is_ours(folder) {
        return Err(FolderError::NotOurs(folder.to_owned()));
    }
    staged(files, folder, exists).map_err(|source| FolderError::Io {
        folder: folder.to_owned(),
        source,
    })
}

/// Builds the report beside its place, then moves it there; the staging folder goes with what is left in it.
fn staged(files: &[(&str, String)], folder: &Path, exists: bool) -> io::Result<()> {
    let parent = folder
        .parent()
        .filter(|parent| *parent != Path::new(""))
        .unwrap_or(Path::new("."));
    fs::create_dir_all(parent)?;
    let staging = tempfile::Builder::new()
        .prefix(".milliglow-")
        .tempdir_in(parent)?;
    let (new, old) = (staging.path().join("new"), staging.path().join("old"));
    fs::create_dir(&new)?;
    for (name, text) in files {
        fs::write(new.join(name), text)?;
    }
    fs::write(new.join(MARKER), MARK)?;
    if exists {
        fs::rename(folder, &old)?;
    }
    fs::rename(&new, folder).inspect_err(|_| {
        if exists {
            // If this fails too, the first error tells the user more.
            let _ = fs::rename(&old, folder);
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    const FILES: [&str; 11] = [
        MARKER,
        "check.json",
        "chromatic_lines.csv",
        "curve.csv",
        "flicker.csv",
        "lines.csv",
        "pulse_rates.csv",
        "report.html",
        "script.csv",
        "supply_lines.csv",
        "verdicts.csv",
    ];

    fn listed(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    fn write_into(folder: &Path) -> Result<(), FolderError> {
        write(&fixture::checked(), &fixture::locus(), folder)
    }

    #[test]
    fn a_report_is_written_whole_and_replaced() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("a/b");
        write_into(&folder).unwrap();
        assert_eq!(listed(&folder), FILES);
        fs::write(folder.join("check.json"), "stale").unwrap();
        write_into(&folder).unwrap();
        assert!(
            fs::read_to_string(folder.join("check.json"))
                .unwrap()
                .starts_with('{')
        );
        assert_eq!(listed(folder.parent().unwrap()), ["b"]);
    }

    #[test]
    fn what_the_tool_did_not_write_stays() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("mine");
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join("letter.txt"), "dear").unwrap();
        assert!(matches!(write_into(&folder), Err(FolderError::NotOurs(_))));
        assert_eq!(listed(&folder), ["letter.txt"]);
        let file = folder.join("letter.txt");
        assert!(matches!(write_into(&file), Err(FolderError::NotOurs(_))));
        assert!(matches!(
            write_into(&file.join("under")),
            Err(FolderError::Io { .. })
        ));
        assert_eq!(listed(place.path()), ["mine"]);
    }

    #[test]
    fn names_become_safe_file_names() {
        let name = |name| default_folder(name).to_str().unwrap().to_owned();
        assert_eq!(
            name("Cove light, first draft"),
            "milliglow-report/Cove-light-first-draft"
        );
        assert_eq!(name("../../etc"), "milliglow-report/etc");
        assert_eq!(name(".. / <"), "milliglow-report/luminaire");
    }
}
