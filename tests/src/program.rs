//! Runs the program `milliglow` as a user does, in an empty folder of its own.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// A folder that goes away with it, in which the program is run.
pub struct Folder {
    folder: tempfile::TempDir,
}

/// What the program printed and how it ended.
pub struct Ended {
    /// Exit code.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Folder {
    /// A new empty folder.
    pub fn new() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a temporary folder"),
        }
    }

    /// Its path.
    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Writes a file.
    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path().join(name), text).expect(name);
    }

    /// Reads a file.
    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path().join(name)).expect(name)
    }

    /// Names of everything in it, sorted.
    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(self.path()).expect("the folder");
        let name = |entry: std::io::Result<std::fs::DirEntry>| {
            entry.unwrap().file_name().into_string().unwrap()
        };
        let mut names: Vec<_> = entries.map(name).collect();
        names.sort();
        names
    }

    /// Runs `milliglow ARGUMENTS` in it.
    pub fn run(&self, arguments: &[&str]) -> Ended {
        let output = Command::new(program())
            .args(arguments)
            .current_dir(self.path())
            .output()
            .expect("the program");
        ended(output)
    }
}

impl Default for Folder {
    fn default() -> Self {
        Self::new()
    }
}

fn ended(output: Output) -> Ended {
    let text = |bytes| String::from_utf8(bytes).expect("text");
    Ended {
        code: output.status.code().expect("an exit code"),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}

/// The release build: it takes what the user would take, and a debug build would take minutes for some luminaires.
fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let build = escargot::CargoBuild::new()
            .manifest_path(concat!(env!("CARGO_MANIFEST_DIR"), "/../Cargo.toml"))
            .package("milliglow-sim")
            .bin("milliglow")
            .release()
            .run();
        build.expect("the program builds").path().to_owned()
    })
}
