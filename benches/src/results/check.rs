//! `check`: the built-in luminaire, and how cost grows with channels and with seconds.

use std::io;
use std::path::{Path, PathBuf};

use super::growth::{Curve, draw};
use super::page::{Page, table};
use super::program::{Program, Taken};
use super::{folder, scratch};

/// Channels of the luminaires tried.
const CHANNELS: [u32; 5] = [1, 2, 4, 8, 16];
/// Seconds of the script of five channels.
const SECONDS: [u32; 5] = [1, 10, 100, 1_000, 3_600];
/// Seconds of light that a check of the built-in judges: 20 s and 180 s of PstLM at each hold.
const PST_LM_SECONDS: f64 = 200.0;

/// Measures `check`, and writes its section.
pub(super) fn measure(program: &Program, page: &mut Page) -> io::Result<()> {
    let report = scratch().join("report");
    let report = report.to_string_lossy();
    let built_in = ["check", "--quiet", "--report", &report];
    let taken = program.best_of(3, &built_in)?;
    let judged = judged_seconds(program, &report)?;
    let a_second = judged / taken.seconds;
    let rows = [
        vec![
            "`check` of the built-in luminaire".to_owned(),
            format!("{:.2} s, {:.0} MB", taken.seconds, taken.peak_mb),
            "3 s, 300 MB".to_owned(),
            format!("{:.2} s", taken.cpu_seconds),
        ],
        vec![
            format!("light judged a second, of {judged:.0} s in all"),
            format!("{a_second:.0} s"),
            String::new(),
            String::new(),
        ],
    ];
    let rows = table(&["what", "measured", "aim", "of processors"], &rows);
    page.matters(
        "`check` of the built-in luminaire",
        format!("{:.1} s, {:.0} MB", taken.seconds, taken.peak_mb),
    );
    page.matters("light judged", format!("{a_second:.0} s a second"));
    let of_channels = grown(program, "channels", &CHANNELS, |channels| {
        luminaire(program, channels, 20)
    })?;
    let of_seconds = grown(program, "seconds", &SECONDS, |seconds| {
        luminaire(program, 5, seconds)
    })?;
    let plots = "\n![time and memory against channels](check-channels.svg)\n![time and memory against seconds](check-seconds.svg)\n";
    page.section(
        "`check`",
        "The shortest of three runs on the clock, the time of all processors beside it, and the most memory that was resident. Light judged: 200 s of PstLM at each test light of each recipe, and the script. Growth: first-order \
         luminaires made by `milliglow new`, 20 s of script for the channels, five channels for the seconds.",
        "cargo run --release -- check",
        &(rows + "\n" + &of_channels + "\n" + &of_seconds + plots),
    );
    Ok(())
}

/// What the document of a check says that it looked at.
fn judged_seconds(program: &Program, report: &str) -> io::Result<f64> {
    let (_, document) = program.document(&["check", "--json", "--report", report])?;
    let lights = document["lights"].as_array().map_or(0, Vec::len) as f64;
    let script = document["parameters"]["script"].as_array().cloned();
    let script = script.unwrap_or_default().into_iter();
    let script: f64 = script.filter_map(|fade| fade["seconds"].as_f64()).sum();
    Ok(lights * PST_LM_SECONDS + script)
}

/// The luminaire that `new` writes, at 1 MHz, with a script of so many seconds.
fn luminaire(program: &Program, channels: u32, seconds: u32) -> io::Result<PathBuf> {
    let file = scratch().join(format!("of-{channels}-for-{seconds}.toml"));
    std::fs::remove_file(&file).ok();
    let channels = channels.to_string();
    program.call(&["new", &file.to_string_lossy(), "--channels", &channels])?;
    let text = std::fs::read_to_string(&file)?;
    let fades = text
        .lines()
        .filter(|line| line.starts_with("seconds = "))
        .count();
    let each = f64::from(seconds) / fades as f64;
    let lines = text.lines().map(|line| match line {
        line if line.starts_with("seconds = ") => format!("seconds = {each:.3}"),
        line if line.starts_with("tick_hz = ") => "tick_hz = 1_000_000".to_owned(),
        line => line.to_owned(),
    });
    std::fs::write(&file, lines.collect::<Vec<_>>().join("\n"))?;
    Ok(file)
}

/// Runs every size; gives a table and draws the plot.
fn grown(
    program: &Program,
    what: &str,
    sizes: &[u32],
    luminaire: impl Fn(u32) -> io::Result<PathBuf>,
) -> io::Result<String> {
    let report = scratch().join("report-grown");
    let mut found: Vec<(u32, Taken)> = Vec::new();
    for &size in sizes {
        let file = luminaire(size)?;
        let arguments = [
            "check",
            "--quiet",
            "--report",
            &report.to_string_lossy(),
            &file.to_string_lossy(),
        ];
        found.push((size, program.best_of(1, &arguments)?));
    }
    let points = |of: fn(&Taken) -> f64| {
        found
            .iter()
            .map(|(size, taken)| (f64::from(*size), of(taken)))
            .collect()
    };
    let plot: &Path = &folder().join(format!("check-{what}.svg"));
    let curves = [
        Curve {
            name: "time of processors in s",
            points: points(|taken| taken.cpu_seconds),
        },
        Curve {
            name: "peak of memory in 100 MB",
            points: points(|taken| taken.peak_mb / 100.0),
        },
    ];
    draw(plot, what, &curves)?;
    let rows: Vec<_> = found
        .iter()
        .map(|(size, taken)| {
            vec![
                size.to_string(),
                format!("{:.2}", taken.seconds),
                format!("{:.2}", taken.cpu_seconds),
                format!("{:.0}", taken.peak_mb),
            ]
        })
        .collect();
    Ok(table(
        &[what, "s on the clock", "s of processors", "peak in MB"],
        &rows,
    ))
}
