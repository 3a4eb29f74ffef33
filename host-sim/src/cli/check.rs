//! `milliglow check`: simulate, judge, print, write the report.

use std::fs::File;
use std::io::{BufWriter, IsTerminal};
use std::path::PathBuf;

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};

use super::{ALL_PASS, Failure, SOME_FAIL, digest, luminaire, print, spectral_locus, width};
use crate::check::check;
use crate::check::compare::compare;
use crate::check::spread::spread;
use crate::description::{Description, LevelChoice};
use crate::faults::{Faults, faults};
use crate::report::{
    Checked, comparison_table, default_folder, facts, faults_table, json, spread_table, table,
    write, write_vcd,
};
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

    /// Draw units from the tolerances in [spread] and tell what 95 % of them hold [default: 200 units]
    #[arg(long, value_name = "UNITS", num_args = 0..=1, require_equals = true, default_missing_value = "200",
        value_parser = clap::value_parser!(u32).range(1..=100_000))]
    spread: Option<u32>,

    /// Lay other ways of dimming side by side: timers, modulations, stretch, two ranges, plain analog
    #[arg(long)]
    compare: bool,

    /// Inject faults by the dozen into a luminaire on a bus, and tell what was survived and how
    #[arg(long)]
    faults: bool,

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
            print(&facts(&checked, width()))?;
            self.print_extras(&checked)?;
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

    fn print_extras(&self, checked: &Checked) -> Result<(), Failure> {
        if let Some(figures) = &checked.spread {
            print(&spread_table(figures, width()))?;
        }
        if let Some(ways) = &checked.comparison {
            print(&comparison_table(ways, width()))?;
        }
        match &checked.faults {
            Some(found) => print(&faults_table(found, width())),
            None => Ok(()),
        }
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

    fn inject(&self, description: &Description) -> Result<Option<Faults>, Failure> {
        if !self.faults {
            return Ok(None);
        }
        let bar = progress_bar(self.quiet, "faults");
        let found = faults(description, |fraction| {
            bar.set_position((fraction * 100.0) as u64);
        });
        bar.finish_and_clear();
        found.map(Some).ok_or_else(|| Failure::plain(NO_BUS))
    }

    fn judge(&self) -> Result<Checked, Failure> {
        let (description, text, origin) = luminaire(self.file.as_deref())?;
        if self.faults && description.bus.is_none() {
            return Err(Failure::plain(NO_BUS));
        }
        if !self.quiet {
            warn_of_length(&description);
        }
        let bar = progress_bar(self.quiet, "script");
        let (observed, verdicts) = check(&description, |fraction| {
            bar.set_position((fraction * 100.0) as u64);
        });
        bar.finish_and_clear();
        let spread = self.spread.map(|units| spread(&description, units));
        let comparison = self.compare.then(|| {
            let bar = progress_bar(self.quiet, "comparison");
            let ways = compare(&description, &observed.metric_maps, |fraction| {
                bar.set_position((fraction * 100.0) as u64);
            });
            bar.finish_and_clear();
            ways
        });
        let faults = self.inject(&description)?;
        Ok(Checked {
            description,
            input_digest: digest(&text),
            origin,
            observed,
            verdicts,
            spread,
            comparison,
            faults,
        })
    }
}

const NO_BUS: &str = "--faults needs a luminaire with [bus]";

/// Ticks of all channels that a core steps in a second, about.
const TICKS_A_SECOND: f64 = 1.5e9;

/// A script that will take more than two minutes is announced.
fn warn_of_length(description: &Description) {
    let round: f64 = description.script.iter().map(|fade| fade.seconds).sum();
    let bus = description.bus.as_ref().map_or(0.0, |bus| bus.seconds);
    let seconds = round * f64::from(rounds(description)) + bus;
    let ticks = seconds * f64::from(description.tick_hz) * description.channels.len() as f64;
    let minutes = ticks / TICKS_A_SECOND / 60.0;
    if minutes > 2.0 {
        anstream::eprintln!(
            "note: {seconds} s of the script are judged; stepping it takes about {minutes:.0} minutes"
        );
    }
}

/// On standard error, and only where somebody looks at it.
fn progress_bar(quiet: bool, what: &str) -> ProgressBar {
    if quiet || !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template(&format!("{what} {{bar:40}} {{pos}} %"));
    let style = style.expect("a fixed template");
    ProgressBar::new(100).with_style(style)
}

fn light_percent(text: &str) -> Result<f64, String> {
    let percent = text
        .parse()
        .ok()
        .filter(|percent| (0.0..=100.0).contains(percent));
    percent.ok_or_else(|| "allowed are 0 to 100".to_owned())
}
