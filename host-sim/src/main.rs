//! The program `milliglow`.
#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    milliglow_sim::cli::main()
}
