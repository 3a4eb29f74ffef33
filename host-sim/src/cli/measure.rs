//! `milliglow measure`: the flicker metrics of a measured waveform.

use std::fs;
use std::path::PathBuf;

use clap::Args;

use super::{ALL_PASS, COULD_NOT_JUDGE, Failure, SOME_FAIL, print, width};
use crate::capture::{self, Capture, TimeUnit};
use crate::measure::{Against, Compared, Dark, Measured, Options, measure};
use crate::report::{measured, table};
use crate::verdict::Outcome;

/// Judge the flicker of a measured waveform: CSV, WAV or VCD
#[derive(Args)]
pub(super) struct Measure {
    /// The waveform: .csv, .tsv or .txt (time and value, or value), .wav, .vcd
    #[arg(value_name = "WAVEFORM")]
    file: PathBuf,

    /// Samples a second of a CSV of values alone; of the light made from a VCD [default: 20000]
    #[arg(long, value_name = "HZ")]
    rate: Option<f64>,

    /// Unit of a CSV's times: s, ms, us or ns [default: what its header names, else s]
    #[arg(long, value_name = "UNIT")]
    time_unit: Option<TimeUnit>,

    /// Light that a one-bit signal of a VCD gives while it is 1; may be repeated, others then give none
    #[arg(long, value_name = "NAME=VALUE", value_parser = weight)]
    weight: Vec<(String, f64)>,

    /// A record of the dark: its level is taken off, its noise bounds what can be judged
    #[arg(long, value_name = "FILE")]
    dark: Option<PathBuf>,

    /// A dark level to take off
    #[arg(long, value_name = "VALUE", default_value_t = 0.0, allow_negative_numbers = true, value_parser = finite)]
    offset: f64,

    /// Bandwidth of the probe
    #[arg(long, value_name = "HZ", value_parser = positive)]
    bandwidth: Option<f64>,

    /// Luminance of the light, for its visibility
    #[arg(long, value_name = "CD_M2", value_parser = positive)]
    luminance: Option<f64>,

    /// Largest value that the instrument can give: segments that reach it are not judged [default: found by flat tops]
    #[arg(long, value_name = "VALUE", allow_negative_numbers = true, value_parser = finite)]
    full_scale: Option<f64>,

    /// Compare with a document of check or measure (--json, or the JSON of a report)
    #[arg(long, value_name = "CHECK.json")]
    against: Option<PathBuf>,

    /// Compare with this place of it alone, for example "evening, 1 %"
    #[arg(long, value_name = "PLACE", requires = "against")]
    at: Option<String>,

    /// Print one JSON document instead of the table
    #[arg(long)]
    json: bool,

    /// Print nothing; the exit code tells
    #[arg(long, conflicts_with = "json")]
    quiet: bool,

    /// Write a report into a folder
    #[arg(long, value_name = "FOLDER")]
    report: Option<PathBuf>,
}

impl Measure {
    pub(super) fn run(&self) -> Result<u8, Failure> {
        let against = self.against()?;
        let judged = self.judge()?;
        let compared = self.compare(against, &judged)?;
        if let Some(folder) = &self.report {
            measured::write(&judged, &compared, folder)
                .map_err(|error| Failure::plain(error.to_string()))?;
        }
        self.show(&judged, &compared)?;
        Ok(
            match (judged.count(Outcome::Fail), judged.count(Outcome::Pass)) {
                (0, 0) => COULD_NOT_JUDGE,
                (0, _) => ALL_PASS,
                _ => SOME_FAIL,
            },
        )
    }

    fn judge(&self) -> Result<Measured, Failure> {
        let form = capture::Options {
            rate_hz: self.rate,
            time_unit: self.time_unit,
            weights: self.weight.clone(),
        };
        let refused = |refusal: capture::Refusal| Failure::plain(refusal.to_string());
        let dark = match &self.dark {
            Some(file) => {
                let dark = Capture::open(file, &form).and_then(|dark| Dark::of(&dark));
                Some(dark.map_err(refused)?)
            }
            None => None,
        };
        let options = Options {
            offset: self.offset,
            dark,
            bandwidth_hz: self.bandwidth,
            luminance_cd_m2: self.luminance,
            full_scale: self.full_scale,
        };
        let capture = Capture::open(&self.file, &form).map_err(refused)?;
        measure(&capture, &options).map_err(refused)
    }

    fn against(&self) -> Result<Option<Against>, Failure> {
        let Some(file) = &self.against else {
            return Ok(None);
        };
        let refused = |what: String| Failure::plain(format!("{}: {what}", file.display()));
        let text = fs::read_to_string(file)
            .map_err(|error| refused(format!("cannot be read: {error}")))?;
        Against::parse(&text).map(Some).map_err(refused)
    }

    fn compare(
        &self,
        against: Option<Against>,
        judged: &Measured,
    ) -> Result<Vec<Compared>, Failure> {
        let Some(against) = against else {
            return Ok(Vec::new());
        };
        against
            .compare(&judged.series, self.at.as_deref())
            .map_err(|what| Failure::plain(format!("--against: {what}")))
    }

    fn show(&self, judged: &Measured, compared: &[Compared]) -> Result<(), Failure> {
        if self.json {
            return print(&format!("{:#}\n", measured::json(judged, compared)));
        }
        if self.quiet {
            return Ok(());
        }
        print(&table(&judged.verdicts, true, width()))?;
        print(&format!("\n{}", measured::words(judged, compared, width())))?;
        match &self.report {
            Some(folder) => print(&format!(
                "report: {}\n",
                folder.join("report.html").display()
            )),
            None => Ok(()),
        }
    }
}

fn weight(text: &str) -> Result<(String, f64), String> {
    let (name, value) = text.split_once('=').ok_or("allowed is NAME=VALUE")?;
    let value = finite(value)?;
    if value < 0.0 {
        return Err("allowed is a weight of 0 or more".to_owned());
    }
    Ok((name.to_owned(), value))
}

fn finite(text: &str) -> Result<f64, String> {
    let number = text.parse().ok().filter(|number: &f64| number.is_finite());
    number.ok_or_else(|| "allowed is a finite number".to_owned())
}

fn positive(text: &str) -> Result<f64, String> {
    finite(text).and_then(|number| {
        if number > 0.0 {
            Ok(number)
        } else {
            Err("allowed is a number above 0".to_owned())
        }
    })
}
