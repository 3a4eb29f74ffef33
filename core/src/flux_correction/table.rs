//! Flux against the temperature of the junction.

use super::{Factor, Temperature};
use crate::{Error, fraction};

/// A flux at a temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Knot {
    at: Temperature,
    flux: Factor,
    /// 2^32 / units of temperature to the next knot, rounded down; 0 for the last.
    reciprocal: u32,
}

/// 1 to 8 knots of flux over junction temperature, straight lines between; below the first knot its flux holds, above the last
/// the last.
///
/// *Error*: at a knot exact, between two within 2^-16 of their difference, plus 2^-28, of the straight line, never outside
/// the two. *Cost* of a look-up: a comparison a knot and four products. *Size*: 100 bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct FluxTable {
    knots: [Knot; Self::MOST_KNOTS],
    count: u8,
}

impl FluxTable {
    /// The most knots of a table.
    pub const MOST_KNOTS: usize = 8;

    /// The nominal flux at any temperature.
    pub const STEADY: Self = Self {
        knots: [Knot {
            at: Temperature::from_bits(0),
            flux: Factor::ONE,
            reciprocal: 0,
        }; Self::MOST_KNOTS],
        count: 1,
    };

    /// From fluxes at temperatures, the lowest first. Divides once a knot; for set-up.
    ///
    /// # Errors
    /// [`Error::FluxTable`] for none, more than 8, or temperatures that do not rise by at least half a degree.
    pub const fn new(knots: &[(Temperature, Factor)]) -> Result<Self, Error> {
        if knots.is_empty() || knots.len() > Self::MOST_KNOTS {
            return Err(Error::FluxTable);
        }
        let mut table = Self::STEADY;
        table.count = knots.len() as u8;
        let mut k = 0;
        while k < knots.len() {
            let (at, flux) = knots[k];
            (table.knots[k].at, table.knots[k].flux) = (at, flux);
            if k > 0 {
                let span = at.to_bits() as i32 - knots[k - 1].0.to_bits() as i32;
                if span < Self::NARROWEST {
                    return Err(Error::FluxTable);
                }
                table.knots[k - 1].reciprocal = ((1_u64 << 32) / span as u64) as u32;
            }
            k += 1;
        }
        Ok(table)
    }

    /// Units of temperature from knot to knot, half a degree.
    const NARROWEST: i32 = 32;

    /// The flux at a temperature of the junction.
    #[must_use]
    pub fn flux(&self, junction: Temperature) -> Factor {
        let mut here: Option<&Knot> = None;
        for knot in self.knots.iter().take(usize::from(self.count)) {
            match here {
                Some(below) if junction < knot.at => return between(below, knot, junction),
                _ => here = Some(knot),
            }
        }
        here.map_or(Factor::ONE, |last| last.flux)
    }
}

fn between(below: &Knot, above: &Knot, junction: Temperature) -> Factor {
    // Below the first knot nothing has passed; else less than a span, so that the product stays below 2^32.
    let passed = i32::from(junction.to_bits()) - i32::from(below.at.to_bits());
    let part = (passed.max(0) as u32).wrapping_mul(below.reciprocal);
    let (from, to) = (below.flux.to_bits(), above.flux.to_bits());
    Factor::from_bits(if to >= from {
        from.wrapping_add(fraction::product(to - from, part))
    } else {
        from.wrapping_sub(fraction::product(from - to, part))
    })
}
