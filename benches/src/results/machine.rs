//! What kind of machine measured, and with which versions; nothing that names it.

use std::process::Command;
use std::thread;

/// A line each.
pub(super) fn lines() -> Vec<String> {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    vec![
        format!(
            "Machine: {cores} shared cores, {}{}; as many processes as {} ran or waited to run as this began (load average).",
            std::env::consts::ARCH,
            widest(),
            load()
        ),
        format!(
            "Compiler: {}, profile release.",
            said_by("rustc", "--version")
        ),
    ]
}

/// Processes that run or wait, a mean over the last minute.
fn load() -> String {
    let load = std::fs::read_to_string("/proc/loadavg").ok();
    let minute = load.and_then(|load| load.split(' ').next().map(str::to_owned));
    minute.unwrap_or_else(|| "?".to_owned())
}

/// What a program says of itself in its first line.
pub(super) fn said_by(program: &str, option: &str) -> String {
    let said = Command::new(program).arg(option).output();
    let said = said.map(|said| String::from_utf8_lossy(&said.stdout).into_owned());
    said.ok()
        .and_then(|said| said.lines().next().map(str::to_owned))
        .unwrap_or_else(|| format!("{program} is missing"))
}

/// Of the registers that a library may choose to use.
#[cfg(target_arch = "x86_64")]
fn widest() -> &'static str {
    match (
        std::is_x86_feature_detected!("avx512f"),
        std::is_x86_feature_detected!("avx2"),
    ) {
        (true, _) => " with AVX-512",
        (_, true) => " with AVX2",
        _ => "",
    }
}

#[cfg(not(target_arch = "x86_64"))]
fn widest() -> &'static str {
    ""
}
