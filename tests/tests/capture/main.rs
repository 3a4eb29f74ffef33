//! Measured waveforms: published values from independent captures, bad input, damaged files.

mod damage;
mod gaps;
mod published;
mod refusals;
mod streams;

use std::path::{Path, PathBuf};

use milliglow_sim::capture::{Capture, Options, Refusal};
use milliglow_sim::measure::{self, Measured};

/// A capture of `data/captures`, see its README.
pub(crate) fn capture(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "data", "captures", name]
        .iter()
        .collect()
}

/// Opens and measures.
pub(crate) fn measured(
    file: &Path,
    form: &Options,
    options: &measure::Options,
) -> Result<Measured, Refusal> {
    measure::measure(&Capture::open(file, form)?, options)
}

/// Measures a capture as it is.
pub(crate) fn plainly(name: &str) -> Measured {
    measured(
        &capture(name),
        &Options::default(),
        &measure::Options::default(),
    )
    .expect(name)
}

/// The worst value of a metric; it was judged.
pub(crate) fn worst(measured: &Measured, id: &str) -> f64 {
    let series = measured.series(id).expect(id);
    series
        .worst
        .unwrap_or_else(|| panic!("{id}: {:?}", series.reason))
}

/// Why a metric was not judged.
pub(crate) fn reason(measured: &Measured, id: &str) -> String {
    let series = measured.series(id).expect(id);
    assert_eq!(series.worst, None, "{id}");
    series.reason.clone().expect("a reason")
}

/// Kinds of the warnings.
pub(crate) fn kinds(measured: &Measured) -> Vec<&'static str> {
    measured
        .warnings
        .iter()
        .map(|warning| warning.kind.id())
        .collect()
}
