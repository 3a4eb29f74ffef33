//! From fluxes to shares.

use super::Configuration;
use super::reciprocal::Reciprocal;
use crate::{Recipe, Share, fraction};

/// The shares over the fluxes (units of 2^-28), all alike lower where one would be above full or the power above its cap.
pub(super) fn corrected<const N: usize>(
    configuration: &Configuration<N>,
    recipe: &Recipe<N>,
    fluxes: [u32; N],
) -> Recipe<N> {
    let mut shares = recipe.shares().map(Share::to_bits);
    lift(&mut shares, fluxes);
    cap(configuration, &mut shares);
    Recipe::new(shares.map(Share::from_bits))
}

/// For a flux of 1, and so for most: its reciprocal is its shift less this many octaves.
const OCTAVES: u32 = 3;

fn lift<const N: usize>(shares: &mut [u32; N], fluxes: [u32; N]) {
    let reciprocals = fluxes.map(Reciprocal::new);
    let lit = |share: &u32| *share > 0;
    let octaves = shares
        .iter()
        .zip(&reciprocals)
        .filter(|(share, _)| lit(share));
    let highest = octaves.map(|(_, of)| of.shift).fold(OCTAVES, u32::max);
    let mut largest = 0;
    for (share, reciprocal) in shares.iter_mut().zip(reciprocals) {
        *share = reciprocal.half_of(*share) >> highest.saturating_sub(reciprocal.shift).min(31);
        largest = largest.max(*share);
    }
    let above = highest.wrapping_sub(OCTAVES) & 31;
    if largest.leading_zeros() >= above {
        shares.iter_mut().for_each(|share| *share <<= above);
    } else {
        let whole = Reciprocal::new(largest);
        shares
            .iter_mut()
            .for_each(|share| *share = whole.of(*share));
    }
}

fn cap<const N: usize>(configuration: &Configuration<N>, shares: &mut [u32; N]) {
    let parts = shares.iter().zip(&configuration.weights);
    let power = parts.fold(0_u32, |sum, (&share, &weight)| {
        sum.saturating_add(fraction::product(share, weight))
    });
    if power <= configuration.cap {
        return;
    }
    // Less what rounding could leave above the cap.
    let part = Reciprocal::new(power)
        .of(configuration.cap)
        .saturating_sub(64);
    shares
        .iter_mut()
        .for_each(|share| *share = fraction::product(*share, part));
}
