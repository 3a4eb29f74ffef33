//! The Planckian locus: the chromaticity of a black body against its temperature.

use super::{Observed, Xy, standard_observer};

/// Second radiation constant in m K, as CIE 15 takes it (the SI's 1.438777e-2 moves x by 3.5e-6 at 2856 K).
pub const C2_M_K: f64 = 1.4388e-2;

/// Where the locus passes, and how fast it moves, in the CIE 1960 diagram.
#[derive(Clone, Copy, Debug)]
pub(super) struct Passing {
    /// u and v.
    pub(super) at: (f64, f64),
    /// d u / d T and d v / d T, in 1/K.
    pub(super) tangent: (f64, f64),
}

/// The chromaticity of a black body of this temperature in K: the radiation that the 1 nm observer sees.
///
/// *Range*: 500 K to 100 000 K give figures; CCT uses 1 000 to 25 000 K. *Error*: within 1e-5 in x and y of the
/// computed table that the tests hold.
///
/// ```
/// use milliglow_sim::colour::planckian;
/// let warm = planckian(2700.0);
/// assert!((warm.x - 0.45986).abs() < 1e-5 && (warm.y - 0.41060).abs() < 1e-5);
/// ```
#[must_use]
pub fn planckian(kelvin: f64) -> Xy {
    Xy::from_uv_1960(passing(kelvin).at)
}

pub(super) fn passing(kelvin: f64) -> Passing {
    let (mut seen, mut rising) = ([0.0; 3], [0.0; 3]);
    for row in standard_observer() {
        let (radiation, slope) = radiation(row, kelvin);
        for (k, bar) in [row.x_bar, row.y_bar, row.z_bar].into_iter().enumerate() {
            seen[k] += bar * radiation;
            rising[k] += bar * slope;
        }
    }
    // u = 4 X / S and v = 6 Y / S with S = X + 15 Y + 3 Z; their derivatives by the quotient rule.
    let sum = |[x, y, z]: [f64; 3]| x + 15.0 * y + 3.0 * z;
    let (all, all_rising) = (sum(seen), sum(rising));
    let slope = |k: usize| (rising[k] * all - seen[k] * all_rising) / (all * all);
    Passing {
        at: (4.0 * seen[0] / all, 6.0 * seen[1] / all),
        tangent: (4.0 * slope(0), 6.0 * slope(1)),
    }
}

/// Planck's law and its derivative by temperature, both over one common factor.
fn radiation(row: &Observed, kelvin: f64) -> (f64, f64) {
    let wavelength_m = row.wavelength_nm * 1e-9;
    let exponent = C2_M_K / (wavelength_m * kelvin);
    let radiation = (row.wavelength_nm / 560.0).powi(-5) / exponent.exp_m1();
    let slope = radiation * exponent / kelvin / -(-exponent).exp_m1();
    (radiation, slope)
}
