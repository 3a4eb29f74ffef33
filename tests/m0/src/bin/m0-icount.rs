//! Compares the instructions counted here with those that an emulator counted of the same firmware.
//!
//! `m0-icount FIRMWARE < LINES`: each line names a function of the firmware, called with 1000, and the ticks that the emulated
//! processor's timer took for it, hexadecimal. `tests/parts/on-target.sh` calls this.

use std::error::Error;
use std::io::BufRead;
use std::process::ExitCode;

use milliglow_m0::{Image, Machine, Timing};

/// A call of every function in the firmware is made with this.
const TIMES: u32 = 1_000;
/// The emulator runs 10^9 instructions a second of its time, and the timer of its Cortex-M0 runs at 16 MHz.
const INSTRUCTIONS_A_TICK: f64 = 62.5;
/// Instructions between the two readings of the timer that are not the call's.
const AROUND: f64 = 40.0;

fn compare(machine: &mut Machine, line: &str) -> Result<bool, Box<dyn Error>> {
    let (function, ticks) = line
        .split_once(' ')
        .ok_or_else(|| format!("no ticks: {line}"))?;
    let emulated = f64::from(u32::from_str_radix(ticks, 16)?) * INSTRUCTIONS_A_TICK;
    let counted = machine.call(function, &[TIMES])?.instructions as f64;
    let excess = emulated - counted;
    let agrees = (-INSTRUCTIONS_A_TICK..=INSTRUCTIONS_A_TICK + AROUND).contains(&excess);
    println!(
        "{function}: counted {counted}, emulator {emulated}{}",
        if agrees { "" } else { ": DIFFERENT" }
    );
    Ok(agrees)
}

fn run() -> Result<bool, Box<dyn Error>> {
    let path = std::env::args()
        .nth(1)
        .ok_or("usage: m0-icount FIRMWARE < LINES")?;
    let image = Image::parse(&std::fs::read(&path).map_err(|error| format!("{path}: {error}"))?)?;
    let mut machine = Machine::new(&image, Timing::FAST)?;
    let (mut lines, mut all_agree) = (0, true);
    for line in std::io::stdin().lock().lines() {
        all_agree &= compare(&mut machine, &line?)?;
        lines += 1;
    }
    if lines < 5 {
        return Err("too few lines: did the emulator run?".into());
    }
    Ok(all_agree)
}

fn main() -> ExitCode {
    match run() {
        Ok(agrees) => ExitCode::from(u8::from(!agrees)),
        Err(error) => {
            eprintln!("m0-icount: {error}");
            ExitCode::from(2)
        }
    }
}
