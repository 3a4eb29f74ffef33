//! Files in a folder of the user's: all of them or none, and never in place of what the tool did not write.

use std::fmt;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::{File, MARK};

/// Why nothing was written.
#[derive(Debug)]
pub enum NotWritten {
    /// A file is there that the tool did not write.
    NotOurs(PathBuf),
    /// The system refused.
    Io(PathBuf, io::Error),
}

impl fmt::Display for NotWritten {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotOurs(path) => write!(
                formatter,
                "{}: not written, since it exists and `emit` did not write it; \
                 name another folder or move this file away",
                path.display()
            ),
            Self::Io(path, error) => {
                write!(formatter, "{}: cannot be written: {error}", path.display())
            }
        }
    }
}

impl std::error::Error for NotWritten {}

/// Writes the files into a folder, made if it is not there, over those that were written before.
///
/// # Errors
/// [`NotWritten`]; what was there before is as it was.
pub fn write(files: &[File], folder: &Path) -> Result<Vec<PathBuf>, NotWritten> {
    let paths: Vec<_> = files.iter().map(|file| folder.join(&file.name)).collect();
    if let Some(foreign) = paths.iter().find(|path| !is_free(path)) {
        return Err(NotWritten::NotOurs(foreign.clone()));
    }
    fs::create_dir_all(folder).map_err(|error| NotWritten::Io(folder.to_owned(), error))?;
    let staged = files.iter().zip(&paths).map(|(file, path)| {
        staged(file, folder).map_err(|error| NotWritten::Io(path.clone(), error))
    });
    // All are there in full before the first takes its place.
    let staged = staged.collect::<Result<Vec<_>, _>>()?;
    for (file, path) in staged.into_iter().zip(&paths) {
        let moved = file.persist(path);
        moved.map_err(|error| NotWritten::Io(path.clone(), error.error))?;
    }
    Ok(paths)
}

fn staged(file: &File, folder: &Path) -> io::Result<NamedTempFile> {
    let mut staged = tempfile::Builder::new();
    // As a new file gets them, and not private as a temporary one.
    #[cfg(unix)]
    staged.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut staged = staged.prefix(".milliglow-").tempfile_in(folder)?;
    staged.write_all(file.text.as_bytes())?;
    Ok(staged)
}

/// Nothing is there, or a file that begins as those of the tool do.
fn is_free(path: &Path) -> bool {
    if path.symlink_metadata().is_err() {
        return true;
    }
    let text = fs::read_to_string(path).unwrap_or_default();
    text.lines().take(5).any(|line| line.contains(MARK))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(text: &str) -> [File; 2] {
        ["a.h", "a.c"].map(|name| File {
            name: name.to_owned(),
            text: format!("// {MARK}\n{text}"),
        })
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn all_files_are_written_and_written_over() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("src/made");
        write(&files("old"), &folder).unwrap();
        write(&files("new"), &folder).unwrap();
        assert_eq!(names(&folder), ["a.c", "a.h"]);
        let text = fs::read_to_string(folder.join("a.c")).unwrap();
        assert!(text.ends_with("new"), "{text}");
    }

    #[test]
    fn a_file_of_somebody_else_s_keeps_all_from_being_written() {
        let place = tempfile::tempdir().unwrap();
        fs::write(place.path().join("a.c"), "mine").unwrap();
        let refused = write(&files(""), place.path()).unwrap_err();
        assert!(matches!(refused, NotWritten::NotOurs(path) if path.ends_with("a.c")));
        assert_eq!(names(place.path()), ["a.c"]);
        let file = place.path().join("a.c");
        let refused = write(&files(""), &file).unwrap_err();
        assert!(matches!(refused, NotWritten::Io(..)));
        assert_eq!(fs::read_to_string(file).unwrap(), "mine");
    }
}
