//! From a colour to shares on the target, for colours that arrive at run time: three channels, or a pair of whites.
//!
//! For set-up and for a bus at its own rate, not for the control step: it works in `f32`, which small targets do in
//! software. It needs no square root and no rounding but that of a cast, and divides once a channel and edge.
//!
//! *Error*: the chromaticity of the shares is within 2e-6 in u', v' of what the same problem gives in 64-bit floats, and
//! that of a pair's CCT of 1 800 to 10 000 K within 2e-4, since it takes the Planckian locus from a fit: a
//! five-hundredth and a fifth of an n-step of 0.0011.

mod diagram;
mod locus;
mod three_channels;
mod tunable_white;

pub use three_channels::ThreeChannels;
pub use tunable_white::TunableWhite;

use crate::recipe::{Recipe, Share};
use diagram::Corner;

/// CIE 1931 chromaticity.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Chromaticity {
    /// x, 0 to 1; what is not in that range counts as its nearest end.
    pub x: f32,
    /// y, likewise.
    pub y: f32,
}

/// One channel at full drive.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Primary {
    /// Its chromaticity.
    pub light: Chromaticity,
    /// Its flux, in any unit that all channels share.
    pub flux: f32,
}

/// The recipe for a colour, at most flux: its largest share is full.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Solved<const N: usize> {
    /// The shares.
    pub recipe: Recipe<N>,
    /// Whether the colour can be reached; if not, the recipe gives the nearest that can, on the gamut's edge.
    pub reached: bool,
}

/// Distances in u', v' below this, a hundredth of an n-step, count as none.
const NO_DISTANCE: f32 = 1.1e-5;

/// Primaries nearer than this in u', v', a tenth of an n-step, or so near to one line, mix no colours.
const NARROWEST: f32 = 1.1e-4;

/// The shares that give parts of a mixture in u', v', the largest of them full.
fn recipe<const N: usize>(corners: [Corner; N], parts: [f32; N]) -> Recipe<N> {
    let mut drives = [0.0; N];
    for (drive, (corner, part)) in drives.iter_mut().zip(corners.iter().zip(parts)) {
        *drive = part / corner.weight;
    }
    let largest = drives
        .iter()
        .fold(0.0, |largest: f32, drive| largest.max(*drive));
    // A cast rounds down and saturates, so that a ratio of 1 is full.
    Recipe::new(drives.map(|drive| Share::from_bits((drive / largest * 4_294_967_296.0) as u32)))
}
