//! Measured waveforms in: CSV, WAV and VCD, read block by block, so that memory does not grow with the file.
//!
//! A reader gives what the file holds, unchanged save for the sampling: even samples at one rate. It refuses what is no
//! waveform with one [`Refusal`] that says where and what is allowed.

mod csv;
mod pieces;
mod refusal;
mod vcd;
mod wav;

pub use csv::{TimeUnit, Timing};
pub use pieces::{Piece, Pieces};
pub use refusal::Refusal;

use std::path::{Path, PathBuf};

/// What a file does not say about itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Options {
    /// Samples a second: needed by a CSV of values alone; for a VCD the rate at which its light is sampled.
    pub rate_hz: Option<f64>,
    /// Unit of a CSV's times where its header names none: seconds without it.
    pub time_unit: Option<TimeUnit>,
    /// Light that each one-bit signal of a VCD gives while it is 1; empty: every one gives 1.
    pub weights: Vec<(String, f64)>,
}

/// Samples a second that a VCD is turned into when nobody says otherwise.
pub const VCD_RATE_HZ: f64 = 20_000.0;

/// Sample rates in Hz that are taken.
pub const RATES_HZ: std::ops::RangeInclusive<f64> = 1.0..=1e9;

/// A measured waveform in a file.
#[derive(Clone, Debug)]
pub struct Capture {
    file: PathBuf,
    form: Form,
}

#[derive(Clone, Debug)]
enum Form {
    Csv(csv::Form),
    Wav(wav::Form),
    Vcd(vcd::Form),
}

impl Capture {
    /// Opens a waveform by the ending of its name: `csv`, `tsv` or `txt`, `wav`, `vcd`. A CSV with times is read through
    /// once, to find its rate.
    ///
    /// # Errors
    /// What the file is not: see [`Refusal`].
    pub fn open(file: &Path, options: &Options) -> Result<Self, Refusal> {
        let ending = file.extension().unwrap_or_default().to_ascii_lowercase();
        let form = match ending.to_str() {
            Some("csv" | "tsv" | "txt") => Form::Csv(csv::Form::of(file, options)?),
            Some("wav") => Form::Wav(wav::Form::of(file, options)?),
            Some("vcd") => Form::Vcd(vcd::Form::of(file, options)?),
            _ => {
                let allowed =
                    "the name tells no format; allowed are .csv, .tsv, .txt, .wav and .vcd";
                return Err(Refusal::of(file, allowed));
            }
        };
        Ok(Self {
            file: file.to_owned(),
            form,
        })
    }

    /// The file.
    #[must_use]
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// Samples a second of what [`Capture::pieces`] gives.
    #[must_use]
    pub fn rate_hz(&self) -> f64 {
        match &self.form {
            Form::Csv(form) => form.rate_hz(),
            Form::Wav(form) => form.rate_hz(),
            Form::Vcd(form) => form.rate_hz(),
        }
    }

    /// Bandwidth in Hz that the sampling itself leaves: half the rate, or the flat band of a sampled VCD.
    #[must_use]
    pub fn band_hz(&self) -> f64 {
        match self.form {
            Form::Vcd(_) => self.rate_hz() / 4.0,
            Form::Csv(_) | Form::Wav(_) => self.rate_hz() / 2.0,
        }
    }

    /// Least and largest value that the format can hold; a sample there is clipped. `None` if it has no such end.
    #[must_use]
    pub fn full_scale(&self) -> Option<(f64, f64)> {
        match &self.form {
            Form::Wav(form) => form.full_scale(),
            Form::Csv(_) | Form::Vcd(_) => None,
        }
    }

    /// Whether the light was computed from streams: what lies below 0 is then the ringing of the sampling.
    #[must_use]
    pub fn is_computed(&self) -> bool {
        matches!(self.form, Form::Vcd(_))
    }

    /// How even the time stamps are; `None` if there are none.
    #[must_use]
    pub fn timing(&self) -> Option<Timing> {
        match &self.form {
            Form::Csv(form) => form.timing(),
            Form::Wav(_) | Form::Vcd(_) => None,
        }
    }

    /// The light from its begin, block by block; nothing follows the first error.
    ///
    /// # Errors
    /// When the file can no longer be opened.
    pub fn pieces(&self) -> Result<Pieces, Refusal> {
        match &self.form {
            Form::Csv(form) => form.pieces(&self.file),
            Form::Wav(form) => form.pieces(&self.file),
            Form::Vcd(form) => form.pieces(&self.file),
        }
    }
}

/// The rate that was asked for, if it is one.
fn asked_rate(file: &Path, options: &Options) -> Result<Option<f64>, Refusal> {
    match options.rate_hz {
        Some(rate) if !RATES_HZ.contains(&rate) => Err(Refusal::of(
            file,
            format!("a rate of {rate} Hz; allowed are 1 Hz to 1 GHz"),
        )),
        rate => Ok(rate),
    }
}
