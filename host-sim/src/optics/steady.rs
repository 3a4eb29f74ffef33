//! Light of steady first-order channels summed over time, in closed form.

use milliglow::density::Density;

use super::SteadyChannel;

impl SteadyChannel {
    /// Ones before a tick.
    #[must_use]
    pub fn ones_before(&self, tick: u64) -> u64 {
        if self.density == Density::FULL {
            return tick;
        }
        let charge = u128::from(tick) * u128::from(self.density.to_bits()) + u128::from(self.phase);
        (charge >> 32) as u64
    }

    /// Flux x ticks from the first tick to `ticks`, a straight line within each tick; 0 before the first.
    #[must_use]
    pub fn light_until(&self, ticks: f64) -> f64 {
        let ticks = ticks.max(0.0);
        let whole = ticks as u64;
        let before = self.ones_before(whole);
        let on = (self.ones_before(whole + 1) - before) as f64;
        self.flux * (before as f64 + on * ticks.fract())
    }

    /// Least and most ones in any window of `ticks` ticks: the product with the density, rounded down and up.
    ///
    /// Exact for a stream that goes on for its whole period (Christoffel words; Morse and Hedlund 1940).
    #[must_use]
    pub fn ones_in_a_window(&self, ticks: u64) -> (u64, u64) {
        if self.density == Density::FULL {
            return (ticks, ticks);
        }
        let product = u128::from(ticks) * u128::from(self.density.to_bits());
        ((product >> 32) as u64, product.div_ceil(1 << 32) as u64)
    }
}

/// Least and most light (flux x ticks) of channels in any window of `ticks` ticks, whatever their phases to each other.
///
/// Streams whose densities have no common measure pass through all phases; where they have one, the bounds are safe.
#[must_use]
pub fn light_in_a_window(channels: &[SteadyChannel], ticks: u64) -> (f64, f64) {
    channels.iter().fold((0.0, 0.0), |(least, most), channel| {
        let ones = channel.ones_in_a_window(ticks);
        (
            least + channel.flux * ones.0 as f64,
            most + channel.flux * ones.1 as f64,
        )
    })
}
