//! Counts the instructions of the hottest paths and compares them with `benches/counts.csv`; `--write` writes that anew.
//!
//! Exit code 77 if another compiler wrote it. Called with a path and a number it runs that path: that is what valgrind counts.

use std::process::ExitCode;

use milliglow_benches::counts::{compare, write};
use milliglow_benches::hot_paths::PATHS;

/// For what the machine cannot do, as `tests/lib.sh` has it.
const SKIPPED: u8 = 77;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        [compiler] => told(compiler),
        [compiler, "--write"] => match write(compiler) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => failed(&error.to_string()),
        },
        [name, turns] => ran(name, turns),
        _ => failed("allowed are COMPILER, COMPILER --write, and PATH TURNS"),
    }
}

fn told(compiler: &str) -> ExitCode {
    match compare(compiler) {
        Ok(Some((text, all_hold))) => {
            print!("{text}");
            if all_hold {
                ExitCode::SUCCESS
            } else {
                ExitCode::FAILURE
            }
        }
        Ok(None) => ExitCode::from(SKIPPED),
        Err(error) => failed(&error.to_string()),
    }
}

fn ran(name: &str, turns: &str) -> ExitCode {
    let path = PATHS.iter().find(|path| path.0 == name);
    match (path, turns.parse()) {
        (Some((_, run)), Ok(turns)) => {
            run(turns);
            ExitCode::SUCCESS
        }
        _ => failed("no such path, or no number of turns"),
    }
}

fn failed(what: &str) -> ExitCode {
    eprintln!("{what}");
    ExitCode::FAILURE
}
