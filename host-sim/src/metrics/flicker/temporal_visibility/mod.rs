//! Whether an eye at rest sees light flicker, by an analytic temporal contrast sensitivity.
//!
//! `sum over lines of (amplitude x sensitivity)^2`; above 1 it is seen. No sensitivity fits every published measurement:
//! each [`Model`] says by how much it misses, and beside it stands a bound that no open measurement passes.

mod barten;
mod watson;

use super::Line;
pub use barten::Barten;
pub use watson::Watson;

/// Band and resolution.
pub const BAND: &str =
    "models: all lines, checked from 0.5 to 80 Hz; bound: 2 to 30 Hz; lines 1 Hz wide";

/// Field of view in degrees that a lit room is taken for (our choice; the checked tables use it).
pub const FIELD_DEG: f64 = 10.0;

/// The sensitivity of the bound: open measurements peak at 200 (de Lange), 133 (Kelly), 371 (Snowden 1995) and 478 (a
/// large field, 2024).
pub const BOUND_SENSITIVITY: f64 = 500.0;

/// Where the bound holds, in Hz.
const BOUND_HZ: std::ops::RangeInclusive<f64> = 2.0..=30.0;

/// From this luminance on the display-metrology set fits de Lange better than Barten does: the geometric mean of his
/// conditions at 15.9 and 159 cd/m2, where the better model changes.
const IDMS_FROM_CD_M2: f64 = 50.3;

/// A sensitivity for one luminance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Model {
    /// Barten 1999 on a field of [`FIELD_DEG`].
    Barten(Barten),
    /// Watson's form with the display-metrology parameters.
    Idms,
}

impl Model {
    /// The one that fits better at a luminance in cd/m2, above 0: Barten below 50 cd/m2, the display-metrology set from there on.
    #[must_use]
    pub fn at(luminance_cd_m2: f64) -> Self {
        if luminance_cd_m2 < IDMS_FROM_CD_M2 {
            Self::Barten(Barten::new(luminance_cd_m2, FIELD_DEG))
        } else {
            Self::Idms
        }
    }

    /// One over the modulation of a sine at this frequency that is just seen.
    #[must_use]
    pub fn sensitivity(&self, frequency_hz: f64) -> f64 {
        match self {
            Self::Barten(barten) => barten.sensitivity(frequency_hz),
            Self::Idms => Watson::IDMS.sensitivity(frequency_hz),
        }
    }

    /// Name and source.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Barten(_) => "Barten 1999, field of 10 degrees",
            Self::Idms => "Watson's form, ICDM display-metrology parameters",
        }
    }

    /// How far it misses what was measured where it is used here.
    #[must_use]
    pub fn misfit(&self) -> Misfit {
        let (small_field, large_field) = match self {
            Self::Barten(_) => ((0.093, 0.294), (0.335, 0.763)),
            Self::Idms => ((0.049, 0.169), (0.475, 0.690)),
        };
        Misfit {
            small_field,
            large_field,
        }
    }
}

/// RMS of log10(model / measured), least and most over the measured luminances at which a model is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Misfit {
    /// Against de Lange 1958, 2 degrees.
    pub small_field: (f64, f64),
    /// Against Kelly 1961, 50 to 68 degrees.
    pub large_field: (f64, f64),
}

/// How visible flicker is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Visibility {
    /// Sum by the model; above 1 is seen, and its square root goes with the modulation.
    pub sum: f64,
    /// Sum by [`BOUND_SENSITIVITY`] over lines from 2 to 30 Hz; at or below 1 none of them is seen by any model.
    pub bound_sum: f64,
}

/// Visibility of lines under a model.
#[must_use]
pub fn visibility(lines: &[Line], model: &Model) -> Visibility {
    let bounded = |line: &&Line| BOUND_HZ.contains(&line.frequency_hz);
    let squared = |line: &Line, sensitivity: f64| (line.amplitude * sensitivity).powi(2);
    let modelled = lines
        .iter()
        .map(|line| squared(line, model.sensitivity(line.frequency_hz)));
    let bound = lines
        .iter()
        .filter(bounded)
        .map(|line| squared(line, BOUND_SENSITIVITY));
    // Rust's sum of nothing is -0.
    Visibility {
        sum: 0.0 + modelled.sum::<f64>(),
        bound_sum: 0.0 + bound.sum::<f64>(),
    }
}
