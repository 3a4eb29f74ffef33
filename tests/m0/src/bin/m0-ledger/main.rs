//! Measures the firmwares and compares them with the ledger, or writes it.
//!
//! `bash tests/parts/ledger.sh [--write]` builds the firmwares and calls this.

mod bench;
mod fast;
mod functions;
mod items;
mod luminaires;
mod seconds;
mod sizes;

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use milliglow_m0::ledger::{self, Comparison, Row};

const USAGE: &str = "usage: m0-ledger FOLDER COMPILER [--write | --only ITEMS]
FOLDER holds release/ and small/ with the firmwares; COMPILER is written into the ledger's head.
--only prints the rows of items whose names begin so, and compares nothing.";

/// Profiles of the firmwares, and their opt-levels.
const PROFILES: [(&str, &str); 2] = [("release", "3"), ("small", "s")];

/// The rows of items whose names begin so.
fn measure(folder: &Path, only: &str) -> Result<Vec<Row>, Box<dyn Error>> {
    let mut rows = Vec::new();
    for (profile, opt_level) in PROFILES {
        let firmwares = folder.join(profile);
        rows.extend(items::measure(&firmwares, opt_level, only)?);
        if only.is_empty() {
            rows.extend(sizes::measure(&firmwares, opt_level)?);
        }
    }
    // Both opt-levels of an item side by side, in the order of the items.
    let first = rows.clone();
    let place = |row: &Row| first.iter().position(|other| other.item == row.item);
    rows.sort_by_key(place);
    Ok(rows)
}

fn write(compiler: &str, rows: &[Row]) -> Result<(), Box<dyn Error>> {
    ledger::write(&ledger::path(), compiler, rows)?;
    let readme = ledger::readme();
    let page = std::fs::read_to_string(&readme)?;
    // As the file has them: rounded.
    let page = ledger::replace_blocks(&page, &ledger::read(&ledger::path())?)
        .ok_or("README.md: no place for a table")?;
    Ok(std::fs::write(readme, page)?)
}

fn report(Comparison { worse, better }: &Comparison) {
    for line in better {
        println!("better: {line}");
    }
    for line in worse {
        println!("worse: {line}");
    }
    println!(
        "{} figures worse, {} better by more than 5 %",
        worse.len(),
        better.len()
    );
    if !worse.is_empty() || !better.is_empty() {
        println!("to rewrite the ledger: bash tests/parts/ledger.sh --write");
    }
}

fn run(arguments: &[&str]) -> Result<ExitCode, Box<dyn Error>> {
    let (folder, compiler, writes) = match arguments {
        [folder, compiler] => (folder, compiler, false),
        [folder, compiler, "--write"] => (folder, compiler, true),
        [folder, _, "--only", items] => {
            print!("{}", ledger::lines(&measure(Path::new(folder), items)?));
            return Ok(ExitCode::SUCCESS);
        }
        _ => return Err(USAGE.into()),
    };
    let rows = measure(Path::new(folder), "")?;
    print!("{}\n{}", ledger::shares(&rows), ledger::block(&rows));
    if writes {
        write(compiler, &rows)?;
        return Ok(ExitCode::SUCCESS);
    }
    let comparison = ledger::compare(&ledger::read(&ledger::path())?, &rows);
    report(&comparison);
    Ok(ExitCode::from(u8::from(!comparison.worse.is_empty())))
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    run(&arguments).unwrap_or_else(|error| {
        eprintln!("m0-ledger: {error}");
        ExitCode::from(2)
    })
}
