//! The program's commands, one file each.

mod check;
mod emit;
mod explore;
mod failure;
mod measure;
mod new;
mod solve;

use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use sha2::{Digest, Sha256};

use crate::colour::boundary;
use crate::description::{BUILT_IN, Description, parse, read};
use failure::Failure;

/// Nothing that was judged failed.
const ALL_PASS: u8 = 0;
/// Something was judged and failed.
const SOME_FAIL: u8 = 1;
/// Nothing could be judged: usage, input or system. Also clap's own code.
const COULD_NOT_JUDGE: u8 = 2;

/// Designs and judges dimmable LED luminaires: the simulator runs the code that the firmware links.
///
/// Exit codes: 0 nothing failed, 1 something failed, 2 could not judge (usage, input or output). What was not judged is
/// listed and fails nothing.
#[derive(Parser)]
#[command(name = "milliglow", version)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Check(check::Check),
    Emit(emit::Emit),
    Explore(explore::Explore),
    Measure(measure::Measure),
    New(new::New),
    Solve(solve::Solve),
}

/// Reads the command line, obeys it, and gives the exit code.
pub fn main() -> ExitCode {
    let outcome = match Arguments::parse().command {
        Command::Check(check) => check.run(),
        Command::Emit(emit) => emit.run(),
        Command::Explore(explore) => explore.run(),
        Command::Measure(measure) => measure.run(),
        Command::New(new) => new.run(),
        Command::Solve(solve) => solve.run(),
    };
    ExitCode::from(outcome.unwrap_or_else(|failure| failure.report()))
}

/// Columns of the terminal; 80 where there is none.
fn width() -> usize {
    console::Term::stdout()
        .size_checked()
        .map_or(80, |(_, columns)| usize::from(columns))
}

/// The luminaire of a file, or else the built-in one, with its text and what to call it.
fn luminaire(file: Option<&Path>) -> Result<(Description, String, String), Failure> {
    match file {
        Some(file) => {
            let (description, text) = read(file)?;
            Ok((description, text, file.display().to_string()))
        }
        None => Ok((
            parse(BUILT_IN, "the built-in luminaire")?,
            BUILT_IN.to_owned(),
            "built in".to_owned(),
        )),
    }
}

/// SHA-256 in hexadecimal.
fn digest(text: &str) -> String {
    let digest = Sha256::digest(text.as_bytes());
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The outline of real light in u', v', for drawings.
fn spectral_locus() -> Vec<(f64, f64)> {
    let outline = boundary().iter().map(|xy| xy.to_uv());
    outline.map(|uv| (uv.u, uv.v)).collect()
}

/// Prints to standard output; a reader that has gone away is no failure.
fn print(text: &str) -> Result<(), Failure> {
    match anstream::stdout().lock().write_all(text.as_bytes()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(Failure::plain(format!("cannot print: {error}")))
        }
        _ => Ok(()),
    }
}
