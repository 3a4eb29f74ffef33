//! Light steps in just-noticeable differences of the DICOM greyscale standard display function.
//!
//! **A ruler, no proof.** The function was made for static gratings of 2 by 2 degrees, not for steps in time of a lit
//! room. Source: DICOM PS3.14 clause 7.1, coefficients as several public implementations agree on them.

/// Band and resolution.
pub const BAND: &str =
    "0.05 to 3993 cd/m2; 1 JND is 9.4 % at 0.05, 2.4 % at 1 and 0.75 % at 100 cd/m2";

/// Nothing is judged below this luminance, in cd/m2: the function starts here.
pub const DARKEST_CD_M2: f64 = 0.05;

/// Last index of the function.
const LAST_INDEX: f64 = 1023.0;

/// Numerator and denominator of log10 L, in rising powers of ln j.
const NUMERATOR: [f64; 5] = [
    -1.301_187_7,
    8.024_263_6e-2,
    1.364_669_9e-1,
    -2.546_840_4e-2,
    1.363_533_4e-3,
];
const DENOMINATOR: [f64; 6] = [
    1.0,
    -2.584_019_1e-2,
    -1.032_022_9e-1,
    2.874_562_0e-2,
    -3.197_897_7e-3,
    1.299_263_4e-4,
];

/// Inverse, in rising powers of log10 L; within about 0.1 JND of the function.
const INVERSE: [f64; 9] = [
    71.498_068,
    94.593_053,
    41.912_053,
    9.824_700_4,
    0.281_754_07,
    -1.187_845_5,
    -0.180_143_49,
    0.147_108_99,
    -0.017_046_845,
];

/// Luminance in cd/m2 of a JND index from 1 to 1023; indices need not be whole.
#[must_use]
pub fn luminance(index: f64) -> f64 {
    let ln = index.ln();
    10_f64.powf(polynomial(&NUMERATOR, ln) / polynomial(&DENOMINATOR, ln))
}

/// The index whose [`luminance`] this is, in cd/m2; `None` outside 0.05 to 3993 cd/m2.
///
/// The published inverse misses by up to 0.1 JND, which matters for steps of one; here it only starts the search for the
/// exact root, found within 1e-7 JND.
#[must_use]
pub fn index(luminance_cd_m2: f64) -> Option<f64> {
    if !(DARKEST_CD_M2..=luminance(LAST_INDEX)).contains(&luminance_cd_m2) {
        return None;
    }
    let guess = polynomial(&INVERSE, luminance_cd_m2.log10()).max(1.0);
    Some((0..4).fold(guess, |index, _| improved(index, luminance_cd_m2)))
}

/// JNDs between two lights (fractions of full) of a luminaire whose luminance at full output is declared; `None` where
/// either is darker than 0.05 cd/m2 or brighter than the function goes.
#[must_use]
pub fn step_jnd(full_cd_m2: f64, one_light: f64, other_light: f64) -> Option<f64> {
    Some((index(full_cd_m2 * one_light)? - index(full_cd_m2 * other_light)?).abs())
}

/// A step of the secant method on log L, which is nearly straight in the index.
fn improved(index: f64, luminance_cd_m2: f64) -> f64 {
    const APART: f64 = 1e-4;
    let here = luminance(index).ln();
    let slope = (luminance(index + APART).ln() - here) / APART;
    index + (luminance_cd_m2.ln() - here) / slope
}

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}
