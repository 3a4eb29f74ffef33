//! The Planckian locus from a fit.

use super::diagram::Place;

/// The Planckian locus in u', v', and its tangent in CIE 1960 u, v.
///
/// Krystek 1985, 1 000 to 15 000 K: worst error against the observer's tables 1.4e-4 in u, v.
pub(super) fn planckian(kelvin: f32) -> (Place, Place) {
    let t = kelvin;
    let u = Ratio {
        above: [0.860_117_76, 1.541_182_5e-4, 1.286_412e-7],
        below: [1.0, 8.424_202_4e-4, 7.081_451_6e-7],
    };
    let v = Ratio {
        above: [0.317_398_73, 4.228_062_5e-5, 4.204_817e-8],
        below: [1.0, -2.897_418_2e-5, 1.614_560_5e-7],
    };
    let place = Place {
        u: u.at(t),
        v: v.at(t) * 1.5,
    };
    let tangent = Place {
        u: u.slope(t),
        v: v.slope(t),
    };
    (place, tangent)
}

/// One parabola over another.
struct Ratio {
    above: [f32; 3],
    below: [f32; 3],
}

impl Ratio {
    fn at(&self, t: f32) -> f32 {
        value(self.above, t) / value(self.below, t)
    }

    fn slope(&self, t: f32) -> f32 {
        let (above, below) = (value(self.above, t), value(self.below, t));
        (slope(self.above, t) * below - above * slope(self.below, t)) / (below * below)
    }
}

fn value([c0, c1, c2]: [f32; 3], t: f32) -> f32 {
    c0 + t * (c1 + t * c2)
}

fn slope([_, c1, c2]: [f32; 3], t: f32) -> f32 {
    c1 + 2.0 * t * c2
}
