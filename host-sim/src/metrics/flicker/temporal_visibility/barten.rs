//! Temporal contrast sensitivity of the eye after Barten.
//!
//! Source: P. G. J. Barten, Contrast Sensitivity of the Human Eye and its Effects on Image Quality (1999), chapters 3
//! and 5; constants as two public implementations of the book give them.

use std::f64::consts::PI;

/// Signal-to-noise ratio at threshold.
const NOISE_RATIO: f64 = 3.0;
/// Integration time of the eye, s.
const INTEGRATION_S: f64 = 0.1;
/// Largest field that the eye integrates over, degrees.
const LARGEST_FIELD_DEG: f64 = 12.0;
/// Most cycles that it integrates over.
const MOST_CYCLES: f64 = 15.0;
/// Quantum efficiency.
const EFFICIENCY: f64 = 0.03;
/// Photons per s, square degree and troland.
const PHOTONS: f64 = 1.24e6;
/// Density of neural noise, s square degrees.
const NEURAL_NOISE: f64 = 3e-8;
/// Frequency above which lateral inhibition ends, cycles per degree.
const INHIBITION_CPD: f64 = 7.0;

/// The eye on an even square field of one luminance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Barten {
    /// All that does not depend on time: `2 / T / X^2`.
    area: f64,
    photon_noise: f64,
    optics: f64,
    inhibition: f64,
    /// Time constants in s of excitation and inhibition.
    tau_s: [f64; 2],
}

impl Barten {
    /// At a luminance in cd/m2 and a field of so many degrees, both above 0.
    #[must_use]
    pub fn new(luminance_cd_m2: f64, field_deg: f64) -> Self {
        let pupil_mm = pupil_mm(luminance_cd_m2, field_deg);
        let trolands = trolands(luminance_cd_m2, pupil_mm);
        let cpd = 1.0 / (2.0 * field_deg);
        let per_area =
            field_deg.powi(-2) + LARGEST_FIELD_DEG.powi(-2) + (cpd / MOST_CYCLES).powi(2);
        Self {
            area: 2.0 / INTEGRATION_S * per_area,
            photon_noise: 1.0 / (EFFICIENCY * PHOTONS * trolands),
            optics: optics(pupil_mm, cpd),
            inhibition: 1.0 - (1.0 - (-(cpd / INHIBITION_CPD).powi(2)).exp()).sqrt(),
            tau_s: time_constants(trolands, field_deg),
        }
    }

    /// One over the modulation of a sine at this frequency that is just seen.
    #[must_use]
    pub fn sensitivity(&self, frequency_hz: f64) -> f64 {
        let low_pass = |tau: f64, order: i32| {
            (1.0 + (2.0 * PI * frequency_hz * tau).powi(2)).powf(-0.5 * f64::from(order))
        };
        let [excitation, inhibition] = self.tau_s;
        let lateral = low_pass(excitation, 7) * (1.0 - low_pass(inhibition, 4) * self.inhibition);
        let noise = self.photon_noise + NEURAL_NOISE / lateral.powi(2);
        self.optics / NOISE_RATIO / (self.area * noise).sqrt()
    }
}

fn pupil_mm(luminance_cd_m2: f64, field_deg: f64) -> f64 {
    5.0 - 3.0 * (0.4 * (luminance_cd_m2 * field_deg.powi(2) / 1600.0).log10()).tanh()
}

/// Retinal illuminance, less what enters the pupil's edge.
fn trolands(luminance_cd_m2: f64, pupil_mm: f64) -> f64 {
    let edge = 1.0 - (pupil_mm / 9.7).powi(2) + (pupil_mm / 12.4).powi(4);
    PI / 4.0 * pupil_mm.powi(2) * luminance_cd_m2 * edge
}

/// Transfer of the eye's optics, whose blur is 0.5 arc minutes and 0.08 for each mm of pupil.
fn optics(pupil_mm: f64, cpd: f64) -> f64 {
    let sigma_deg = 0.5_f64.hypot(0.08 * pupil_mm) / 60.0;
    (-2.0 * (PI * sigma_deg * cpd).powi(2)).exp()
}

fn time_constants(trolands: f64, field_deg: f64) -> [f64; 2] {
    let diameter = (4.0 / PI).sqrt() * field_deg;
    let excitation = (1.0 + diameter).powf(0.6) * trolands / 3.5;
    let inhibition = (1.0 + diameter / 3.2).powi(5) * trolands / 120.0;
    [
        0.032 / (1.0 + 0.55 * excitation.ln_1p()),
        0.018 / (1.0 + 0.37 * inhibition.ln_1p()),
    ]
}
