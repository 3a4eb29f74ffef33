//! Says what the script of a luminaire makes of each channel's stream, as `check` runs it: `script_streams FILE CONTROL_STEPS`.
//!
//! A line a channel with the FNV-1a of its words, as the example firmwares say it of what they made from emitted constants.

use std::path::PathBuf;

use milliglow_sim::description::read;
use milliglow_tests::script_streams::hashes;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let file = PathBuf::from(arguments.next().expect("a luminaire"));
    let control_steps = arguments.next().and_then(|number| number.parse().ok());
    let (description, _) = read(&file).expect("a luminaire");
    for hash in hashes(
        &description,
        control_steps.expect("a number of control steps"),
    ) {
        println!("channel {hash:08x}");
    }
}
