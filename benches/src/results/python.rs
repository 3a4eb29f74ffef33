//! Peers in Python, in an environment of their own below `target`.

use std::io;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

use super::{folder, scratch};

/// A stream of a peer.
#[derive(Clone, Debug)]
pub(super) struct Peer {
    pub(super) name: String,
    pub(super) case: String,
    /// Gigabits a second, or why there are none.
    pub(super) speed: Result<f64, String>,
    /// The first bits, the earliest in the most significant bit.
    pub(super) bits: Vec<u8>,
}

/// Runs all of them; says in what versions, or why not.
pub(super) fn peers() -> (String, Vec<Peer>) {
    match run() {
        Ok(found) => found,
        Err(error) => (format!("Python peers did not run: {error}"), Vec::new()),
    }
}

fn run() -> io::Result<(String, Vec<Peer>)> {
    let venv = scratch().join("venv");
    let python = venv.join("bin/python");
    if !python.exists() {
        succeed(Command::new("python3").args(["-m", "venv"]).arg(&venv))?;
    }
    install(&python, "requirements.txt")?;
    // It is old: that it does not install is a finding, not a failure.
    let toolbox = install(&python, "toolbox.txt").err();
    let bits = scratch().join("bits");
    std::fs::create_dir_all(&bits)?;
    let script = folder().join("peers/streams.py");
    let said = Command::new(&python).arg(script).arg(&bits).output()?;
    let found: Value = serde_json::from_slice(&said.stdout)
        .map_err(|_| io::Error::other(String::from_utf8_lossy(&said.stderr).into_owned()))?;
    let rows = found["rows"].as_array().cloned().unwrap_or_default();
    let peers = rows.iter().map(|row| peer(row, &bits, toolbox.as_ref()));
    let versions = found["versions"].as_object().cloned().unwrap_or_default();
    let versions: Vec<_> = versions
        .iter()
        .map(|(name, version)| format!("{name} {}", version.as_str().unwrap_or_default()))
        .collect();
    Ok((versions.join(", "), peers.collect()))
}

fn peer(row: &Value, bits: &Path, toolbox: Option<&io::Error>) -> Peer {
    let text = |key: &str| row[key].as_str().unwrap_or_default().to_owned();
    let (name, case) = (text("name"), text("case"));
    let bits = std::fs::read(bits.join(format!("{name}-{case}.bits")));
    let reason = || match toolbox {
        Some(error) if name == "deltasigma" => error.to_string(),
        _ => text("reason").lines().next().unwrap_or_default().to_owned(),
    };
    let speed = row["gbit_s"].as_f64().ok_or_else(reason);
    Peer {
        bits: bits.ok().filter(|_| speed.is_ok()).unwrap_or_default(),
        speed,
        name,
        case,
    }
}

fn install(python: &Path, requirements: &str) -> io::Result<()> {
    let list = folder().join("peers").join(requirements);
    succeed(
        Command::new(python)
            .args([
                "-m",
                "pip",
                "install",
                "--quiet",
                "--disable-pip-version-check",
            ])
            .args([
                "--only-binary",
                ":all:",
                "--no-binary",
                "deltasigma",
                "--requirement",
            ])
            .arg(list),
    )
}

/// Its last line of complaint is the error.
fn succeed(command: &mut Command) -> io::Result<()> {
    let said = command.output()?;
    if said.status.success() {
        return Ok(());
    }
    let complaint = String::from_utf8_lossy(&said.stderr).into_owned();
    Err(io::Error::other(
        complaint
            .lines()
            .last()
            .unwrap_or("no reason given")
            .to_owned(),
    ))
}
