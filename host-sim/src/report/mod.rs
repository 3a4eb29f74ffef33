//! Everything that shows a result of `check` or `measure`: terminal, JSON, CSV, and one HTML page with plots.

mod bands;
mod buck_designs;
mod bus_parameters;
mod driver_parameters;
pub mod emitted;
pub mod explored;
mod fault_words;
mod folder;
mod hazard;
mod html;
mod json;
pub mod measured;
mod order;
mod parameters;
mod plots;
pub mod solved;
mod terminal;
mod traces;
mod vcd;
mod wavelength_drift;

#[cfg(test)]
pub(crate) mod fixture;

pub use fault_words::faults_markdown;
pub use folder::{FolderError, default_folder, prepare, write};
pub use html::html;
pub use json::json;
pub(crate) use parameters::parameters;
pub use plots::{gamut, pinst, spectrum, waveform};
pub use terminal::{WIDTHS, comparison_table, facts, faults_table, spread_table, table};
pub use traces::{Trace, traces};
pub use vcd::write_vcd;

use crate::check::compare::Comparison;
use crate::check::spread::SpreadFigures;
use crate::description::Description;
use crate::faults::Faults;
use crate::run::Observed;
use crate::verdict::{Outcome, Verdict};

/// What reports name as their maker.
const PROGRAM: &str = "milliglow";
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// A luminaire that was run and judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    /// The luminaire.
    pub description: Description,
    /// SHA-256 of its file, in hexadecimal.
    pub input_digest: String,
    /// Name of the file, or `built in`.
    pub origin: String,
    /// What the run left behind.
    pub observed: Observed,
    /// What came of judging it.
    pub verdicts: Vec<Verdict>,
    /// What most units of a series hold, where that was asked for.
    pub spread: Option<SpreadFigures>,
    /// Ways of dimming side by side, where that was asked for.
    pub comparison: Option<Comparison>,
    /// What came of injected faults, where that was asked for.
    pub faults: Option<Faults>,
}

impl Checked {
    /// Whether no verdict failed, and every kind of fault was survived. A figure that could not be judged is no failure.
    #[must_use]
    pub fn passed(&self) -> bool {
        let survived = self.faults.as_ref().is_none_or(Faults::survived);
        self.count(Outcome::Fail) == 0 && survived
    }

    /// How many verdicts came out so.
    #[must_use]
    pub fn count(&self, outcome: Outcome) -> usize {
        self.verdicts
            .iter()
            .filter(|verdict| verdict.outcome == outcome)
            .count()
    }
}
