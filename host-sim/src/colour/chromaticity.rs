//! Chromaticity: CIE 1931 x, y and CIE 1976 u', v' (CIE 15), and how lights add up.

/// CIE 1931 chromaticity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Xy {
    /// x = X / (X + Y + Z).
    pub x: f64,
    /// y = Y / (X + Y + Z), above 0 for every real light.
    pub y: f64,
}

/// CIE 1976 chromaticity: equal distances look more alike here than in x, y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uv {
    /// u' = 4 X / (X + 15 Y + 3 Z).
    pub u: f64,
    /// v' = 9 Y / (X + 15 Y + 3 Z).
    pub v: f64,
}

/// Delta u'v' of one n-step: the radius of a circle of n steps is n times as long (CIE TN 001:2014 clause 3.1, the
/// number from memory).
pub const N_STEP: f64 = 0.0011;

impl Xy {
    /// The chromaticity of tristimulus values (CIE 15); none of a light that gives no sum above 0.
    #[must_use]
    pub fn from_tristimulus([x, y, z]: [f64; 3]) -> Option<Self> {
        let sum = x + y + z;
        (sum > 0.0).then(|| Self {
            x: x / sum,
            y: y / sum,
        })
    }

    /// The same chromaticity in the CIE 1960 diagram, u and v, in which CCT and Duv are defined: u = u', v = 2 v' / 3.
    #[must_use]
    pub fn to_uv_1960(self) -> (f64, f64) {
        let Uv { u, v } = self.to_uv();
        (u, v * 2.0 / 3.0)
    }

    /// The chromaticity of CIE 1960 u and v.
    #[must_use]
    pub fn from_uv_1960((u, v): (f64, f64)) -> Self {
        Uv { u, v: v * 1.5 }.to_xy()
    }

    /// The same chromaticity as u', v' (CIE 15).
    #[must_use]
    pub fn to_uv(self) -> Uv {
        let sum = -2.0 * self.x + 12.0 * self.y + 3.0;
        Uv {
            u: 4.0 * self.x / sum,
            v: 9.0 * self.y / sum,
        }
    }
}

impl Uv {
    /// The same chromaticity as x, y (CIE 15).
    #[must_use]
    pub fn to_xy(self) -> Xy {
        let sum = 6.0 * self.u - 16.0 * self.v + 12.0;
        Xy {
            x: 9.0 * self.u / sum,
            y: 4.0 * self.v / sum,
        }
    }

    /// Delta u'v', the straight distance; [`N_STEP`] is one n-step.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        (self.u - other.u).hypot(self.v - other.v)
    }
}

/// The chromaticity of lights that shine together, each given with its flux in any one unit; none in the dark.
///
/// Tristimulus values add up (Grassmann's law, CIE 15): each light weighs flux / y.
///
/// ```
/// use milliglow_sim::colour::{Xy, mix};
///
/// let (warm, cool) = (Xy { x: 0.45, y: 0.40 }, Xy { x: 0.35, y: 0.40 });
/// let both = mix([(warm, 300.0), (cool, 300.0)]).unwrap();
/// assert!((both.x - 0.40).abs() < 1e-12);
/// assert_eq!(mix([(warm, 0.0)]), None);
/// ```
#[must_use]
pub fn mix(lights: impl IntoIterator<Item = (Xy, f64)>) -> Option<Xy> {
    let (mut x, mut y, mut all) = (0.0, 0.0, 0.0);
    for (light, flux) in lights {
        let weight = flux / light.y;
        x += weight * light.x;
        y += flux;
        all += weight;
    }
    (all > 0.0).then(|| Xy {
        x: x / all,
        y: y / all,
    })
}
