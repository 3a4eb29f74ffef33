//! `milliglow emit`: the constants of a luminaire for its firmware.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::{ALL_PASS, Failure, digest, luminaire, print};
use crate::emit::{File, Language, emit, write};
use crate::report::emitted::{Emitted, json};

/// Write the constants of a luminaire for its firmware: a Rust module, or a C header and source
///
/// From them the firmware makes, bit for bit, the streams that `check` judges.
#[derive(Args)]
pub(super) struct Emit {
    /// The luminaire; without one, the built-in cove light
    #[arg(value_name = "LUMINAIRE.toml")]
    file: Option<PathBuf>,

    /// What they are written in
    #[arg(long, value_enum, default_value_t = Written::Rust)]
    language: Written,

    /// Write the files into a folder, over those that `emit` wrote before; without one, print them
    #[arg(long, value_name = "FOLDER")]
    output: Option<PathBuf>,

    /// Print one JSON document
    #[arg(long)]
    json: bool,

    /// Print nothing; the files tell
    #[arg(long, conflicts_with = "json", requires = "output")]
    quiet: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum Written {
    /// A module for the core
    Rust,
    /// A header and a source for the C interface
    C,
}

impl Emit {
    pub(super) fn run(&self) -> Result<u8, Failure> {
        let (description, text, origin) = luminaire(self.file.as_deref())?;
        let input_digest = digest(&text);
        let language = match self.language {
            Written::Rust => Language::Rust,
            Written::C => Language::C,
        };
        let files = emit(&description, &input_digest, language)
            .map_err(|refused| Failure::plain(format!("{origin}: {refused}")))?;
        let written = match &self.output {
            Some(folder) => written(&files, folder)?,
            None => Vec::new(),
        };
        let emitted = Emitted {
            origin,
            input_digest,
            language,
            files,
            written,
        };
        self.tell(&emitted)?;
        Ok(ALL_PASS)
    }

    fn tell(&self, emitted: &Emitted) -> Result<(), Failure> {
        if self.json {
            return print(&format!("{:#}\n", json(emitted)));
        }
        if self.quiet {
            return Ok(());
        }
        if self.output.is_none() {
            let texts = emitted.files.iter().map(|file| file.text.as_str());
            return print(&texts.collect::<Vec<_>>().join("\n"));
        }
        let paths = emitted.written.iter();
        paths
            .map(|path| print(&format!("{} written\n", path.display())))
            .collect()
    }
}

fn written(files: &[File], folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    write(files, folder).map_err(|error| Failure::plain(error.to_string()))
}
