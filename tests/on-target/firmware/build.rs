//! Links with the layout of `cortex-m-rt` and with the memories of the emulated machines, or of a board.

use std::path::PathBuf;
use std::{env, fs};

/// Names the file with a board's memories.
const MEMORY: &str = "MILLIGLOW_MEMORY";

fn memories() -> Result<PathBuf, String> {
    let has = |feature| env::var_os(format!("CARGO_FEATURE_{feature}")).is_some();
    if has("EMULATOR") || !has("HARDWARE") {
        return Ok("emulator.x".into());
    }
    let path = env::var_os(MEMORY).map(PathBuf::from).ok_or(format!(
        "feature `hardware` needs the memories of your board: set {MEMORY} to the full path of a file like \
         tests/on-target/firmware/emulator.x, with FLASH of 256 KB and RAM of 16 KB or more"
    ))?;
    if path.is_file() {
        Ok(path)
    } else {
        Err(format!("{MEMORY}: {} is no file", path.display()))
    }
}

fn main() {
    println!("cargo::rerun-if-env-changed={MEMORY}");
    let memories = match memories() {
        Ok(path) => path,
        Err(message) => return println!("cargo::error={message}"),
    };
    println!("cargo::rerun-if-changed={}", memories.display());
    let out = env::var("OUT_DIR").expect("cargo sets it");
    fs::copy(&memories, PathBuf::from(&out).join("memory.x")).expect("a copy");
    println!("cargo::rustc-link-search={out}");
    println!("cargo::rustc-link-arg-bins=-Tlink.x");
}
