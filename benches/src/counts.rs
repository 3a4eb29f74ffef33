//! Instructions of the hottest paths of a PC, counted by valgrind, and the file that they are compared with.

use std::fmt::Write;
use std::io;
use std::path::PathBuf;
use std::process::Command;

use crate::hot_paths::PATHS;

/// A path may cost more by this factor: the compiler may move it a little.
const ALLOWED: f64 = 1.05;
/// Turns whose cost is what is left when all else is taken off.
const TURNS: u32 = 10;

const HEAD: &str = "\
# Instructions of the hottest paths on a PC, a turn each, counted by valgrind; see DEVELOPERS.md.
# Written by: bash tests/parts/host-counts.sh --write
# They depend on the compiler: another one compares nothing.
";

/// Where the counts are kept.
fn file() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/counts.csv"))
}

/// Instructions of a turn of each path.
fn count_all() -> io::Result<Vec<(&'static str, u64)>> {
    let counted = PATHS.iter().map(|(name, _)| {
        let (once, more) = (count(name, 1)?, count(name, 1 + TURNS)?);
        Ok((*name, more.saturating_sub(once) / u64::from(TURNS)))
    });
    counted.collect()
}

/// Instructions of a run of this program with so many turns.
fn count(name: &str, turns: u32) -> io::Result<u64> {
    let said = Command::new("valgrind")
        .args(["--tool=callgrind", "--callgrind-out-file=/dev/null"])
        .arg(std::env::current_exe()?)
        .args([name, &turns.to_string()])
        .output()?;
    let said = String::from_utf8_lossy(&said.stderr).into_owned();
    let count = said.lines().find_map(|line| line.split_once("Collected :"));
    let count = count.and_then(|(_, count)| count.trim().parse().ok());
    count.ok_or_else(|| io::Error::other(said))
}

/// Counts and writes the file.
///
/// # Errors
/// Of valgrind and of the file system.
pub fn write(compiler: &str) -> io::Result<()> {
    let mut text = format!("{HEAD}# Compiler: {compiler}\npath,instructions\n");
    for (name, count) in count_all()? {
        writeln!(text, "{name},{count}").map_err(io::Error::other)?;
    }
    std::fs::write(file(), text)
}

/// Counts and compares: a line a path, and whether none is worse. None if another compiler wrote the file.
///
/// # Errors
/// Of valgrind and of the file system.
pub fn compare(compiler: &str) -> io::Result<Option<(String, bool)>> {
    let kept = std::fs::read_to_string(file())?;
    if !kept
        .lines()
        .any(|line| line == format!("# Compiler: {compiler}"))
    {
        return Ok(None);
    }
    let known = |name: &str| {
        let mut rows = kept.lines().filter_map(|line| line.split_once(','));
        rows.find(|row| row.0 == name)?.1.parse::<u64>().ok()
    };
    let (mut text, mut all_hold) = (String::new(), true);
    for (name, count) in count_all()? {
        let before = known(name).unwrap_or(0);
        let holds = count as f64 <= before as f64 * ALLOWED;
        all_hold &= holds;
        let word = if holds {
            ""
        } else {
            ": worse by more than 5 %"
        };
        writeln!(text, "{name}: {count}, kept {before}{word}").map_err(io::Error::other)?;
    }
    Ok(Some((text, all_hold)))
}
