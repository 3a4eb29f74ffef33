//! The program `milliglow`, run as a user runs it: time on the clock, of the processors, and memory at its peak.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use super::{folder, scratch};

/// The built program.
pub(super) struct Program {
    path: PathBuf,
}

/// What a run took.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taken {
    pub(super) seconds: f64,
    /// Of all processors together.
    pub(super) cpu_seconds: f64,
    pub(super) peak_mb: f64,
}

/// How often the peak is looked up.
const LOOK: Duration = Duration::from_millis(2);
/// Of the kernel's clock that counts a process's time, on Linux.
const TICKS_A_SECOND: f64 = 100.0;

impl Program {
    pub(super) fn build() -> io::Result<Self> {
        let root = folder().join("..");
        let mut cargo = Command::new(env!("CARGO"));
        cargo
            .args([
                "build",
                "--release",
                "--quiet",
                "--package",
                "milliglow-sim",
            ])
            .current_dir(&root);
        if !cargo.status()?.success() {
            return Err(io::Error::other("the program does not build"));
        }
        Ok(Self {
            path: root.join("target/release/milliglow"),
        })
    }

    /// The shortest of so many runs, and the highest peak; a run that could not judge is an error.
    pub(super) fn best_of(&self, runs: u32, arguments: &[&str]) -> io::Result<Taken> {
        let mut best = self.run(arguments)?;
        for _ in 1..runs {
            let taken = self.run(arguments)?;
            best = Taken {
                seconds: best.seconds.min(taken.seconds),
                cpu_seconds: best.cpu_seconds.min(taken.cpu_seconds),
                peak_mb: best.peak_mb.max(taken.peak_mb),
            };
        }
        Ok(best)
    }

    fn run(&self, arguments: &[&str]) -> io::Result<Taken> {
        self.run_into(Stdio::null(), arguments)
    }

    fn run_into(&self, out: Stdio, arguments: &[&str]) -> io::Result<Taken> {
        let begin = Instant::now();
        let mut child = Command::new(&self.path)
            .args(arguments)
            .stdout(out)
            .spawn()?;
        let (mut taken, status) = watch(&mut child)?;
        taken.seconds = begin.elapsed().as_secs_f64();
        match status {
            Some(0 | 1) => Ok(taken),
            _ => Err(io::Error::other(format!("milliglow {arguments:?} fails"))),
        }
    }

    /// One run, and its JSON document.
    pub(super) fn document(&self, arguments: &[&str]) -> io::Result<(Taken, serde_json::Value)> {
        let file = scratch().join("document.json");
        let taken = self.run_into(fs::File::create(&file)?.into(), arguments)?;
        let document = serde_json::from_slice(&fs::read(file)?).map_err(io::Error::other)?;
        Ok((taken, document))
    }

    /// One run of a command that has no document.
    pub(super) fn call(&self, arguments: &[&str]) -> io::Result<()> {
        self.run(arguments).map(|_| ())
    }
}

/// Looks at a process until it ends.
fn watch(child: &mut Child) -> io::Result<(Taken, Option<i32>)> {
    let of_process = PathBuf::from(format!("/proc/{}", child.id()));
    let mut taken = Taken {
        seconds: 0.0,
        cpu_seconds: 0.0,
        peak_mb: 0.0,
    };
    loop {
        taken.peak_mb = peak_mb(&of_process).unwrap_or(0.0).max(taken.peak_mb);
        taken.cpu_seconds = cpu_seconds(&of_process)
            .unwrap_or(0.0)
            .max(taken.cpu_seconds);
        if let Some(status) = child.try_wait()? {
            return Ok((taken, status.code()));
        }
        thread::sleep(LOOK);
    }
}

/// The most that was resident so far.
fn peak_mb(of_process: &Path) -> Option<f64> {
    let status = fs::read_to_string(of_process.join("status")).ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: f64 = line.trim().strip_suffix(" kB")?.parse().ok()?;
    Some(kilobytes / 1e3)
}

/// Fields 14 and 15 of the process's line, after its name in brackets.
fn cpu_seconds(of_process: &Path) -> Option<f64> {
    let line = fs::read_to_string(of_process.join("stat")).ok()?;
    let (_, fields) = line.rsplit_once(')')?;
    let ticks = fields.split_whitespace().skip(11).take(2);
    let ticks = ticks.map(|field| field.parse::<f64>().ok());
    Some(ticks.sum::<Option<f64>>()? / TICKS_A_SECOND)
}
