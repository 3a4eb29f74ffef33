//! Places, corners and edges in CIE 1976 u', v'.

use super::{Chromaticity, Primary};
use crate::Error;

/// A place in CIE 1976 u', v'.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Place {
    pub(super) u: f32,
    pub(super) v: f32,
}

/// A channel in the diagram, with its weight there: lights mix by X + 15 Y + 3 Z.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Corner {
    pub(super) at: Place,
    pub(super) weight: f32,
}

/// The point of an edge that is nearest to a place.
pub(super) struct Edge {
    /// Square of the distance.
    pub(super) square: f32,
    /// Parts of the edge's ends.
    pub(super) parts: [f32; 2],
}

impl Edge {
    pub(super) fn nearest([from, to]: [Corner; 2], asked: Place) -> Self {
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
    pub(super) fn key(&self, opposite: f32) -> f32 {
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
    pub(super) const fn place(self) -> Place {
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
    pub(super) const fn to(self, other: Self) -> Self {
        Self {
            u: other.u - self.u,
            v: other.v - self.v,
        }
    }

    pub(super) const fn square(self) -> f32 {
        self.u * self.u + self.v * self.v
    }
}

impl Corner {
    pub(super) const fn new(primary: Primary) -> Result<Self, Error> {
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
pub(super) const fn within(number: f32, low: f32, high: f32) -> f32 {
    if number > high {
        high
    } else if number > low {
        number
    } else {
        low
    }
}
