//! From a colour to shares on the target, for colours that arrive at run time: three channels, or a pair of whites.
//!
//! For set-up and for a bus at its own rate, not for the control step: it works in `f32`, which small targets do in
//! software. It needs no square root and no rounding but that of a cast, and divides once a channel and edge.
//!
//! *Error*: the chromaticity of the shares is within 2e-6 in u', v' of what the same problem gives in 64-bit floats, and
//! that of a pair's CCT of 1 800 to 10 000 K within 2e-4, since it takes the Planckian locus from a fit: a
//! five-hundredth and a fifth of an n-step of 0.0011.

use crate::Error;
use crate::recipe::{Recipe, Share};

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

/// A place in CIE 1976 u', v'.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Place {
    u: f32,
    v: f32,
}

/// A channel in the diagram, with its weight there: lights mix by X + 15 Y + 3 Z.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Corner {
    at: Place,
    weight: f32,
}

/// Distances in u', v' below this, a hundredth of an n-step, count as none.
const NO_DISTANCE: f32 = 1.1e-5;

/// Primaries nearer than this in u', v', a tenth of an n-step, or so near to one line, mix no colours.
const NARROWEST: f32 = 1.1e-4;

/// Three channels around an area of colours.
///
/// ```
/// use milliglow::constant;
/// use milliglow::solve::{Chromaticity, Primary, ThreeChannels};
///
/// const fn channel(x: f32, y: f32, flux: f32) -> Primary {
///     Primary { light: Chromaticity { x, y }, flux }
/// }
/// static RGB: ThreeChannels = constant!(ThreeChannels::new([
///     channel(0.695, 0.3045, 180.0),
///     channel(0.195, 0.705, 320.0),
///     channel(0.14, 0.055, 60.0),
/// ]));
/// let d65 = RGB.solve(Chromaticity { x: 0.31272, y: 0.32903 });
/// assert!(d65.reached);
/// assert!((d65.recipe.shares()[0].as_f64() - 0.684742).abs() < 1e-5);
/// assert!(!RGB.solve(Chromaticity { x: 0.1, y: 0.6 }).reached);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct ThreeChannels {
    corners: [Corner; 3],
    /// Rows of the inverse of the matrix of u', v' and 1: each gives a channel's part from u', v' and 1, measured from
    /// the third channel.
    inverse: [[f32; 2]; 2],
}

impl ThreeChannels {
    /// Inverts the matrix of the primaries.
    ///
    /// # Errors
    /// [`Error::Primaries`] for a y or a flux that is not above 0, or primaries on one line.
    pub const fn new(primaries: [Primary; 3]) -> Result<Self, Error> {
        let [Ok(a), Ok(b), Ok(c)] = [
            Corner::new(primaries[0]),
            Corner::new(primaries[1]),
            Corner::new(primaries[2]),
        ] else {
            return Err(Error::Primaries);
        };
        let (ca, cb) = (c.at.to(a.at), c.at.to(b.at));
        let area = ca.u * cb.v - ca.v * cb.u;
        let longest = ca.square().max(cb.square()).max(a.at.to(b.at).square());
        // Twice the area is the longest side times the height on it.
        if area * area <= NARROWEST * NARROWEST * longest {
            return Err(Error::Primaries);
        }
        Ok(Self {
            corners: [a, b, c],
            inverse: [[cb.v / area, -cb.u / area], [-ca.v / area, ca.u / area]],
        })
    }

    /// The shares for a chromaticity.
    #[must_use]
    pub fn solve(&self, light: Chromaticity) -> Solved<3> {
        let asked = light.place();
        let [a, b, c] = self.corners;
        let from_c = c.at.to(asked);
        let [of_a, of_b] = self.inverse.map(|[u, v]| u * from_c.u + v * from_c.v);
        let parts = [of_a, of_b, 1.0 - of_a - of_b];
        if parts.iter().all(|part| *part >= 0.0) {
            return Solved {
                recipe: recipe(self.corners, parts),
                reached: true,
            };
        }
        let [ab, bc, ca] = [[a, b], [b, c], [c, a]].map(|ends| Edge::nearest(ends, asked));
        let edges = [
            (ab.key(parts[2]), ab.square, [ab.parts[0], ab.parts[1], 0.0]),
            (bc.key(parts[0]), bc.square, [0.0, bc.parts[0], bc.parts[1]]),
            (ca.key(parts[1]), ca.square, [ca.parts[1], 0.0, ca.parts[0]]),
        ];
        let [first, second, third] = edges;
        let nearer = if second.0 < first.0 { second } else { first };
        let (_, square, parts) = if third.0 < nearer.0 { third } else { nearer };
        Solved {
            recipe: recipe(self.corners, parts),
            reached: square <= NO_DISTANCE * NO_DISTANCE,
        }
    }
}

/// Two whites, warm and cool in any order: colours on the line between them.
///
/// ```
/// use milliglow::constant;
/// use milliglow::solve::{Chromaticity, Primary, TunableWhite};
///
/// static WHITES: TunableWhite = constant!(TunableWhite::new([
///     Primary { light: Chromaticity { x: 0.468, y: 0.42 }, flux: 42.0 },
///     Primary { light: Chromaticity { x: 0.312, y: 0.328 }, flux: 55.0 },
/// ]));
/// let warm = WHITES.solve_cct(3_000.0);
/// assert!(warm.reached);
/// assert!((warm.recipe.shares()[1].as_f64() - 0.158).abs() < 0.001);
/// assert!(!WHITES.solve_cct(1_800.0).reached);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct TunableWhite {
    corners: [Corner; 2],
}

impl TunableWhite {
    /// From the two channels.
    ///
    /// # Errors
    /// [`Error::Primaries`] for a y or a flux that is not above 0, or primaries of one chromaticity.
    pub const fn new(primaries: [Primary; 2]) -> Result<Self, Error> {
        let [Ok(a), Ok(b)] = [Corner::new(primaries[0]), Corner::new(primaries[1])] else {
            return Err(Error::Primaries);
        };
        if a.at.to(b.at).square() <= NARROWEST * NARROWEST {
            return Err(Error::Primaries);
        }
        Ok(Self { corners: [a, b] })
    }

    /// The shares for the nearest chromaticity on the line.
    #[must_use]
    pub fn solve(&self, light: Chromaticity) -> Solved<2> {
        let nearest = Edge::nearest(self.corners, light.place());
        Solved {
            recipe: recipe(self.corners, nearest.parts),
            reached: nearest.square <= NO_DISTANCE * NO_DISTANCE,
        }
    }

    /// The shares for the place on the line that has this CCT in K, whatever its Duv; beyond the ends of the line the end.
    ///
    /// *Range*: 1 000 to 15 000 K; what is not in that range counts as its nearest end.
    #[must_use]
    pub fn solve_cct(&self, kelvin: f32) -> Solved<2> {
        let [a, b] = self.corners;
        let (locus, tangent) = planckian(within(kelvin, 1_000.0, 15_000.0));
        // CCT is defined in CIE 1960 u, v, where v is two thirds of v'.
        let along = |place: Place| place.u * tangent.u + place.v * (2.0 / 3.0) * tangent.v;
        let part = along(a.at.to(locus)) / along(a.at.to(b.at));
        let on_line = within(part, 0.0, 1.0);
        Solved {
            recipe: recipe(self.corners, [1.0 - on_line, on_line]),
            reached: (part - on_line).abs() <= NO_DISTANCE,
        }
    }
}

/// The point of an edge that is nearest to a place.
struct Edge {
    /// Square of the distance.
    square: f32,
    /// Parts of the edge's ends.
    parts: [f32; 2],
}

impl Edge {
    fn nearest([from, to]: [Corner; 2], asked: Place) -> Self {
        let (edge, way) = (from.at.to(to.at), from.at.to(asked));
        let part = within((edge.u * way.u + edge.v * way.v) / edge.square(), 0.0, 1.0);
        let rest = Place {
            u: way.u - edge.u * part,
            v: way.v - edge.v * part,
        };
        Self {
            square: rest.square(),
            parts: [1.0 - part, part],
        }
    }

    /// The least key of a triangle's edges is that of its nearest, `opposite` being the part of the corner that is not on
    /// this one: of an edge that has the triangle behind it and the point between its ends no other is nearer. The
    /// distances alone would not do: next to a corner those of two edges round to the same.
    fn key(&self, opposite: f32) -> f32 {
        let has_foot = self.parts.iter().all(|part| *part > 0.0);
        if has_foot && opposite < 0.0 {
            -1.0
        } else {
            self.square
        }
    }
}

impl Chromaticity {
    /// CIE 15: u' = 4 x / (-2 x + 12 y + 3), v' = 9 y / (the same).
    const fn place(self) -> Place {
        let (x, y) = (within(self.x, 0.0, 1.0), within(self.y, 0.0, 1.0));
        let sum = sum(x, y);
        Place {
            u: 4.0 * x / sum,
            v: 9.0 * y / sum,
        }
    }
}

const fn sum(x: f32, y: f32) -> f32 {
    -2.0 * x + 12.0 * y + 3.0
}

impl Place {
    const fn to(self, other: Self) -> Self {
        Self {
            u: other.u - self.u,
            v: other.v - self.v,
        }
    }

    const fn square(self) -> f32 {
        self.u * self.u + self.v * self.v
    }
}

impl Corner {
    const fn new(primary: Primary) -> Result<Self, Error> {
        let Primary { light, flux } = primary;
        let is_light = light.x >= 0.0 && light.x <= 1.0 && light.y > 0.0 && light.y <= 1.0;
        let weight = flux * sum(light.x, light.y) / light.y;
        if !(is_light && flux > 0.0 && weight.is_finite()) {
            return Err(Error::Primaries);
        }
        Ok(Self {
            at: light.place(),
            weight,
        })
    }
}

/// The number, or the nearest end of a range; the lower one for what is no number.
const fn within(number: f32, low: f32, high: f32) -> f32 {
    if number > high {
        high
    } else if number > low {
        number
    } else {
        low
    }
}

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

/// The Planckian locus in u', v', and its tangent in CIE 1960 u, v.
///
/// Krystek 1985, 1 000 to 15 000 K: worst error against the observer's tables 1.4e-4 in u, v.
fn planckian(kelvin: f32) -> (Place, Place) {
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
