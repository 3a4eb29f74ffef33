//! `measure` of a generated capture: bytes read a second.

use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use super::page::{Page, table};
use super::program::{Program, Taken};
use super::scratch;

/// Samples a second.
const RATE: u32 = 100_000;
/// Seconds of the usual capture, and of the one that is asked for.
const SECONDS: u32 = 120;
const HOUR: u32 = 3_600;

/// Measures `measure`, and writes its section.
pub(super) fn measure(program: &Program, hour: bool, page: &mut Page) -> io::Result<()> {
    let mut rows = Vec::new();
    let usual = row(program, SECONDS, 3)?;
    page.matters("`measure` of a CSV", usual[1].clone());
    rows.push(usual);
    if hour {
        rows.push(row(program, HOUR, 1)?);
    } else if let Some(kept) = kept_hour() {
        rows.push(kept);
    }
    page.section(
        "`measure`",
        "An invented capture: 1 kHz of 2 % with noise at 100 kHz, times of five decimals and values of six. A CSV with times is read twice, \
         which the figure counts once. The hour is measured by `--hour`, and its row is kept until then.",
        "cargo run --release -- measure CAPTURE.csv",
        &table(&["what", "measured", "aim", "of processors", "reading it alone"], &rows),
    );
    Ok(())
}

/// The row of an earlier run.
fn kept_hour() -> Option<Vec<String>> {
    let text = std::fs::read_to_string(super::folder().join("RESULTS.md")).ok()?;
    let line = text
        .lines()
        .find(|line| line.contains("a capture of 3600 s"))?;
    let cells = line.trim_matches('|').split('|');
    Some(cells.map(|cell| cell.trim().to_owned()).collect())
}

fn row(program: &Program, seconds: u32, runs: u32) -> io::Result<Vec<String>> {
    let file = capture(seconds)?;
    let megabytes = file.metadata()?.len() as f64 / 1e6;
    let report = scratch().join("report-measure");
    let arguments = [
        "measure",
        &file.to_string_lossy(),
        "--quiet",
        "--report",
        &report.to_string_lossy(),
    ];
    let Taken {
        seconds: taken,
        cpu_seconds,
        peak_mb,
    } = program.best_of(runs, &arguments)?;
    let read = super::cpu::once(|| read_through(&file))?;
    std::fs::remove_file(&file)?;
    Ok(vec![
        format!("a capture of {seconds} s, {megabytes:.0} MB"),
        format!("{:.0} MB/s, {peak_mb:.0} MB of memory", megabytes / taken),
        "150 MB/s".to_owned(),
        format!("{cpu_seconds:.1} s of {taken:.1} s on the clock"),
        format!("{:.0} MB/s", megabytes / read),
    ])
}

fn read_through(file: &Path) -> io::Result<u64> {
    io::copy(&mut File::open(file)?, &mut io::sink())
}

/// Times in units of 10 us, light in millionths.
fn capture(seconds: u32) -> io::Result<PathBuf> {
    let path = scratch().join(format!("capture-{seconds}.csv"));
    let mut file = BufWriter::with_capacity(1 << 20, File::create(&path)?);
    writeln!(file, "time_s,light")?;
    let sine = |index: u32| (std::f64::consts::TAU * f64::from(index) / 100.0).sin();
    let period: Vec<i32> = (0..100)
        .map(|index| (20_000.0 * sine(index)) as i32)
        .collect();
    let mut noise = 1_u32;
    for (time, swing) in (0..seconds * RATE).zip(period.iter().cycle()) {
        noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let light = 1_000_000 + swing + (noise >> 22) as i32 - 512;
        let (whole, part) = (light / 1_000_000, light % 1_000_000);
        writeln!(file, "{}.{:05},{whole}.{part:06}", time / RATE, time % RATE)?;
    }
    file.into_inner()?.sync_all()?;
    Ok(path)
}
