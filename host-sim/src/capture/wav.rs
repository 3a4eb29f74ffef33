//! WAV: one channel of PCM with 8, 16, 24 or 32 bits, or of 32-bit floats. Full scale of PCM is 1.

use std::fs::File;
use std::io::BufReader;
use std::path::Path;

use hound::{SampleFormat, WavReader, WavSpec};

use super::pieces::blocks;
use super::{Options, Pieces, RATES_HZ, Refusal};

#[derive(Clone, Debug)]
pub(super) struct Form {
    spec: WavSpec,
}

type Reader = WavReader<BufReader<File>>;

impl Form {
    pub(super) fn of(file: &Path, options: &Options) -> Result<Self, Refusal> {
        if options.rate_hz.is_some() {
            return Err(Refusal::of(
                file,
                "a WAV holds its rate; allowed is no --rate",
            ));
        }
        let reader = open(file)?;
        let spec = reader.spec();
        let refuse = |what: String| Err(Refusal::of(file, what));
        if spec.channels != 1 {
            return refuse(format!("{} channels; allowed is one", spec.channels));
        }
        if !RATES_HZ.contains(&f64::from(spec.sample_rate)) {
            return refuse("a sample rate of 0; allowed are 1 Hz and more".to_owned());
        }
        if reader.duration() < 2 {
            return refuse(format!(
                "{} samples; allowed are two or more",
                reader.duration()
            ));
        }
        Ok(Self { spec })
    }

    pub(super) fn rate_hz(&self) -> f64 {
        f64::from(self.spec.sample_rate)
    }

    /// Floats have no end.
    pub(super) fn full_scale(&self) -> Option<(f64, f64)> {
        (self.spec.sample_format == SampleFormat::Int)
            .then(|| (-1.0, 1.0 - 1.0 / self.half_range()))
    }

    fn half_range(&self) -> f64 {
        2_f64.powi(i32::from(self.spec.bits_per_sample) - 1)
    }

    pub(super) fn pieces(&self, file: &Path) -> Result<Pieces, Refusal> {
        let reader = open(file)?;
        let length = reader.duration();
        let scale = self.half_range().recip();
        let name = file.to_owned();
        let mut samples: Box<dyn Iterator<Item = hound::Result<f64>>> =
            match self.spec.sample_format {
                SampleFormat::Int => Box::new(
                    reader
                        .into_samples::<i32>()
                        .map(move |sample| sample.map(|value| f64::from(value) * scale)),
                ),
                SampleFormat::Float => Box::new(
                    reader
                        .into_samples::<f32>()
                        .map(|sample| sample.map(f64::from)),
                ),
            };
        let mut done = 0;
        Ok(blocks(move |block| {
            let Some(sample) = samples.next() else {
                return Ok(false);
            };
            let value = sample.map_err(|error| cut_short(&name, done, length, &error))?;
            if !value.is_finite() {
                let what = format!("sample {done} is {value}; allowed are finite numbers");
                return Err(Refusal::of(&name, what));
            }
            done += 1;
            block.push(value);
            Ok(true)
        }))
    }
}

fn open(file: &Path) -> Result<Reader, Refusal> {
    let opened = File::open(file).map_err(|error| Refusal::io(file, &error))?;
    WavReader::new(BufReader::new(opened)).map_err(|error| {
        let what = format!(
            "no whole WAV ({error}); allowed are PCM of 8, 16, 24 or 32 bits and 32-bit floats"
        );
        Refusal::of(file, what)
    })
}

fn cut_short(file: &Path, done: u32, length: u32, error: &hound::Error) -> Refusal {
    let what = format!(
        "truncated: it holds {done} of the {length} samples that it announces ({error}); \
         allowed is a whole file"
    );
    Refusal::of(file, what)
}
