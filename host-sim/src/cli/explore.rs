//! `milliglow explore`: search designs, print the front, write the report or a design.

use std::fs::{self, OpenOptions};
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};

use super::{ALL_PASS, Failure, SOME_FAIL, digest, luminaire, print, width};
use crate::description::Description;
use crate::explore::{Cache, Explored, Opened, Progress, Space, SpaceError, explore, written};
use crate::report::explored::{CACHE_FILE, Searched, json, words, write};
use crate::report::{FolderError, default_folder, parameters, prepare};

/// Search which tick rates, modulations, stretches and current ranges meet the requirements
#[derive(Args)]
pub(super) struct Explore {
    /// The luminaire, whose [explore] says what may vary; without one, the built-in cove light
    #[arg(value_name = "LUMINAIRE.toml")]
    file: Option<PathBuf>,

    /// Print one JSON document instead of the table
    #[arg(long)]
    json: bool,

    /// Print nothing; the exit code and the report tell
    #[arg(long, conflicts_with = "json")]
    quiet: bool,

    /// Write the luminaire with the values of row N to FILE, which must not be there yet; without FILE, print it alone
    #[arg(long, num_args = 1..=2, value_names = ["N", "FILE"], conflicts_with_all = ["json", "quiet"])]
    toml: Option<Vec<String>>,

    /// Where the report goes [default: milliglow-report/NAME-explore]
    #[arg(long, value_name = "FOLDER")]
    report: Option<PathBuf>,

    /// Where what was found is kept, for a later search of the same inputs [default: the report's folder]
    #[arg(long, value_name = "FOLDER")]
    cache: Option<PathBuf>,
}

impl Explore {
    pub(super) fn run(&self) -> Result<u8, Failure> {
        let row = self.row()?;
        let (description, text, origin) = luminaire(self.file.as_deref())?;
        let refuse = |error: SpaceError| Failure::plain(format!("{origin}: {error}"));
        let space = Space::of(&description).map_err(refuse)?;
        let report = self.report_folder(&description.name);
        prepare(&report).map_err(refused)?;
        let cache = self.open_cache(&description, &space, &report)?;
        let bar = progress_bar(self.quiet);
        let explored = explore(&description, space, &cache, &|progress| {
            show(&bar, progress);
        });
        bar.finish_and_clear();
        let searched = Searched {
            explored,
            input_digest: digest(&text),
            origin,
        };
        write(&searched, self.cache.is_none().then_some(&cache), &report).map_err(refused)?;
        self.tell(&searched, &text, row, &report)?;
        Ok(if searched.explored.front.is_empty() {
            SOME_FAIL
        } else {
            ALL_PASS
        })
    }

    fn report_folder(&self, name: &str) -> PathBuf {
        let chosen = self.report.clone();
        chosen.unwrap_or_else(|| explore_folder(name))
    }

    /// The row whose luminaire is wanted.
    fn row(&self) -> Result<Option<usize>, Failure> {
        let Some(wanted) = self.toml.as_ref().and_then(|values| values.first()) else {
            return Ok(None);
        };
        let row = wanted.parse().ok().filter(|row| *row > 0);
        row.map(Some).ok_or_else(|| {
            Failure::plain(format!(
                "--toml {wanted}: allowed is the number of a row, from 1"
            ))
        })
    }

    fn open_cache(
        &self,
        description: &Description,
        space: &Space,
        report: &Path,
    ) -> Result<Cache, Failure> {
        let folder = self.cache.as_deref().unwrap_or(report);
        // What decides the result, not how the file is written.
        let inputs = format!("{} {}", env!("CARGO_PKG_VERSION"), parameters(description));
        let path = folder.join(CACHE_FILE);
        let opened = fs::create_dir_all(folder)
            .and_then(|()| Cache::open(&path, &digest(&inputs), space.candidates.len()));
        let (cache, opened) = opened.map_err(|error| {
            Failure::plain(format!("{}: cannot be written: {error}", path.display()))
        })?;
        match opened {
            Opened::Ignored(path) => anstream::eprintln!(
                "note: {} is no cache or damaged: it is ignored and written anew",
                path.display()
            ),
            Opened::Resumed(count) if !self.quiet && count < space.candidates.len() => {
                anstream::eprintln!("note: {count} figures are taken from {}", path.display());
            }
            _ => {}
        }
        Ok(cache)
    }

    fn tell(
        &self,
        searched: &Searched,
        text: &str,
        row: Option<usize>,
        report: &Path,
    ) -> Result<(), Failure> {
        if self.json {
            return print(&format!("{:#}\n", json(searched)));
        }
        if self.quiet {
            return Ok(());
        }
        let written = row
            .map(|row| row_text(&searched.explored, text, row))
            .transpose()?;
        let file = self.toml.as_ref().and_then(|values| values.get(1));
        match (written, file) {
            (Some(written), None) => return print(&written),
            (Some(written), Some(file)) => write_new(Path::new(file), &written)?,
            (None, _) => {}
        }
        print(&words(searched, width()))?;
        if let Some(file) = file {
            print(&format!("{file} written; `check` judges it\n"))?;
        }
        print(&format!(
            "report: {}\n",
            report.join("explore.svg").display()
        ))
    }
}

fn row_text(explored: &Explored, text: &str, row: usize) -> Result<String, Failure> {
    let design = explored.front.get(row - 1).ok_or_else(|| {
        let rows = match explored.front.len() {
            0 => "there is none: nothing is feasible".to_owned(),
            count => format!("allowed are 1 to {count}"),
        };
        Failure::plain(format!("--toml {row}: no such row; {rows}"))
    })?;
    written(text, &design.candidate).map_err(Failure::plain)
}

/// Never writes over a file: it might be the luminaire.
fn write_new(file: &Path, text: &str) -> Result<(), Failure> {
    let created = OpenOptions::new().write(true).create_new(true).open(file);
    created
        .and_then(|mut file| file.write_all(text.as_bytes()))
        .map_err(|error| Failure::plain(format!("{}: cannot be written: {error}", file.display())))
}

/// Beside the report of `check`, which replaces its folder.
fn explore_folder(name: &str) -> PathBuf {
    let mut folder = default_folder(name).into_os_string();
    folder.push("-explore");
    folder.into()
}

fn refused(error: FolderError) -> Failure {
    Failure::plain(error.to_string())
}

/// On standard error, and only where somebody looks at it.
fn progress_bar(quiet: bool) -> ProgressBar {
    if quiet || !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style =
        ProgressStyle::with_template("{msg} {bar:40} {pos}/{len} {eta}").expect("a fixed template");
    ProgressBar::new(1).with_style(style)
}

fn show(bar: &ProgressBar, progress: Progress) {
    let (message, done, of) = match progress {
        Progress::Coarse { done, of } => ("candidates", done, of),
        Progress::Full { done, of } => ("in full", done, of),
    };
    bar.set_message(message);
    bar.set_length(of as u64);
    bar.set_position(done as u64);
}
