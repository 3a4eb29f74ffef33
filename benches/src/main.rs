//! Measures what the project promises of speed on this machine, beside its peers, and writes `benches/RESULTS.md`.
//!
//! `cargo run --release -p milliglow-benches` takes some minutes; `-- --hour` measures an hour's capture of 4 GB too, and needs that
//! much room in `target`. Nothing here gates a test: shared machines lie about time.

use std::process::ExitCode;

use milliglow_benches::results;

fn main() -> ExitCode {
    let options: Vec<String> = std::env::args().skip(1).collect();
    let hour = options == ["--hour"];
    if !options.is_empty() && !hour {
        eprintln!("{options:?}: allowed is --hour alone");
        return ExitCode::from(2);
    }
    match results::write(hour) {
        Ok(path) => {
            println!("{}", path.display());
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}
