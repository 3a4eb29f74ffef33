//! Two whites and the line between them.

use super::diagram::{Corner, Edge, Place, within};
use super::locus::planckian;
use super::{Chromaticity, NARROWEST, NO_DISTANCE, Primary, Solved, recipe};
use crate::Error;

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
