//! `milliglow check`: simulate, judge, print, write the report.

use std::fs::File;
use std::io::{BufWriter, IsTerminal};
use std::path::PathBuf;

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};
use sha2::{Digest, Sha256};

use super::{ALL_PASS, Failure, SOME_FAIL, luminaire, print, spectral_locus, width};
use crate::check::check;
use crate::description::{Description, LevelChoice};
use crate::report::{Checked, default_folder, json, table, write, write_vcd};
use crate::run::{level, rounds};

/// Simulate a luminaire, judge its light, and write a report
#[derive(Args)]
pub(super) struct Check {
    /// The luminaire; without one, the built-in cove light
    #[arg(value_name = "LUMINAIRE.toml")]
    file: Option<PathBuf>,

    /// Show every row, not only the worst of each metric
    #[arg(long)]
    all: bool,

    /// Print one JSON document instead of the table
    #[arg(long, conflicts_with = "all")]
    json: bool,

    /// Print nothing; the exit code and the report tell
    #[arg(long, conflicts_with_all = ["all", "json"])]
    quiet: bool,

    /// Where the report goes [default: milliglow-report/NAME]
    #[arg(long, value_name = "FOLDER")]
    report: Option<PathBuf>,

    /// Write the streams of the first recipe, held for 2 s, as VCD
    #[arg(long, value_name = "FILE")]
    vcd: Option<PathBuf>,

    /// The light of the VCD in % of full [default: the lowest light asked for]
    #[arg(long, value_name = "PERCENT", requires = "vcd", value_parser = light_percent)]
    vcd_light: Option<f64>,
}

/// Duration of the VCD: enough for every metric of lines.
const VCD_SECONDS: f64 = 2.0;

impl Check {
    pub(super) fn run(&self) -> Result<u8, Failure> {
        let checked = self.judge()?;
        let folder = self
            .report
            .clone()
            .unwrap_or_else(|| default_folder(&checked.description.name));
        write(&checked, &spectral_locus(), &folder)
            .map_err(|error| Failure::plain(error.to_string()))?;
        self.write_streams(&checked.description)?;
        if self.json {
            print(&format!("{:#}\n", json(&checked)))?;
        } else if !self.quiet {
            print(&table(&checked.verdicts, self.all, width()))?;
            print(&format!(
                "report: {}\n",
                folder.join("report.html").display()
            ))?;
        }
        Ok(if checked.passed() {
            ALL_PASS
        } else {
            SOME_FAIL
        })
    }

    fn write_streams(&self, description: &Description) -> Result<(), Failure> {
        let Some(file) = &self.vcd else {
            return Ok(());
        };
        let percent = self.vcd_light.map(|percent| percent / 100.0);
        let light = percent.unwrap_or(description.requirements.lowest_light);
        let level = level(description, LevelChoice::Light(light));
        File::create(file)
            .map(BufWriter::new)
            .and_then(|out| write_vcd(description, 0, level, VCD_SECONDS, out))
            .map_err(|error| {
                Failure::plain(format!("{}: cannot be written: {error}", file.display()))
            })
    }

    fn judge(&self) -> Result<Checked, Failure> {
        let (description, text, origin) = luminaire(self.file.as_deref())?;
        if !self.quiet {
            warn_of_length(&description);
        }
        let bar = progress_bar(self.quiet);
        let (observed, verdicts) = check(&description, |fraction| {
            bar.set_position((fraction * 100.0) as u64);
        });
        bar.finish_and_clear();
        let input_digest = Sha256::digest(text.as_bytes())
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect();
        Ok(Checked {
            description,
            input_digest,
            origin,
            observed,
            verdicts,
        })
    }
}

/// Ticks of all channels that a core steps in a second, about.
const TICKS_A_SECOND: f64 = 1.5e9;

/// A script that will take more than two minutes is announced.
fn warn_of_length(description: &Description) {
    let round: f64 = description.script.iter().map(|fade| fade.seconds).sum();
    let seconds = round * f64::from(rounds(description));
    let ticks = seconds * f64::from(description.tick_hz) * description.channels.len() as f64;
    let minutes = ticks / TICKS_A_SECOND / 60.0;
    if minutes > 2.0 {
        anstream::eprintln!(
            "note: {seconds} s of the script are judged; stepping it takes about {minutes:.0} minutes"
        );
    }
}

/// On standard error, and only where somebody looks at it.
fn progress_bar(quiet: bool) -> ProgressBar {
    if quiet || !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template("script {bar:40} {pos} %").expect("a fixed template");
    ProgressBar::new(100).with_style(style)
}

fn light_percent(text: &str) -> Result<f64, String> {
    let percent = text
        .parse()
        .ok()
        .filter(|percent| (0.0..=100.0).contains(percent));
    percent.ok_or_else(|| "allowed are 0 to 100".to_owned())
}
