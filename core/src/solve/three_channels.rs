//! Three channels around an area of colours.

use super::diagram::{Corner, Edge};
use super::{Chromaticity, NARROWEST, NO_DISTANCE, Primary, Solved, recipe};
use crate::Error;

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
