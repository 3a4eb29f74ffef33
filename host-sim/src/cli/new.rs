//! `milliglow new`: a commented luminaire to start from.

use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;

use super::{ALL_PASS, Failure, print};
use crate::description::{parse, starter};

/// Write a commented luminaire to start from; unchanged, it passes `check`
#[derive(Args)]
pub(super) struct New {
    /// The file to write; it must not be there yet
    #[arg(value_name = "NAME.toml")]
    file: PathBuf,

    /// How many channels, 1 to 16
    #[arg(long, default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=16))]
    channels: u8,
}

impl New {
    pub(super) fn run(&self) -> Result<u8, Failure> {
        let text = starter(&name(&self.file)?, usize::from(self.channels));
        parse(&text, &self.file.to_string_lossy()).map_err(|_| unfit_name(&self.file))?;
        write(&self.file, &text).map_err(|error| refused(&self.file, &error))?;
        print(&format!(
            "{} written; `check` judges it\n",
            self.file.display()
        ))?;
        Ok(ALL_PASS)
    }
}

/// The luminaire is called like its file.
fn name(file: &Path) -> Result<String, Failure> {
    let stem = file
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned());
    stem.ok_or_else(|| {
        Failure::plain(format!(
            "{}: names no file; give a name such as hall.toml",
            file.display()
        ))
    })
}

/// The starting file is sound but for its name.
fn unfit_name(file: &Path) -> Failure {
    let allowed = "1 to 60 characters, no control characters, the first not a dot";
    Failure::plain(format!(
        "{}: the file's name becomes the luminaire's, which has {allowed}",
        file.display()
    ))
}

/// Never writes over a file, whoever made it.
fn write(file: &Path, text: &str) -> io::Result<()> {
    OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file)?
        .write_all(text.as_bytes())
}

fn refused(file: &Path, error: &io::Error) -> Failure {
    let what = match error.kind() {
        io::ErrorKind::AlreadyExists => {
            "not written, since it exists; give another name".to_owned()
        }
        _ => format!("cannot be written: {error}"),
    };
    Failure::plain(format!("{}: {what}", file.display()))
}
