//! Light of steady first-order channels summed over time, in closed form.

use milliglow::density::Density;

use super::SteadyChannel;

impl SteadyChannel {
    /// Ones before a decision.
    #[must_use]
    pub fn ones_before(&self, decision: u64) -> u64 {
        if self.density == Density::FULL {
            return decision;
        }
        let charge =
            u128::from(decision) * u128::from(self.density.to_bits()) + u128::from(self.phase);
        (charge >> 32) as u64
    }

    /// Runs of ones that begin before a decision, the stream being dark before its first.
    fn runs_before(&self, decision: u64) -> u64 {
        if self.ones_stand_alone() {
            return self.ones_before(decision);
        }
        let Some(last) = decision.checked_sub(1) else {
            return 0;
        };
        self.ones_before(1) + last - self.ones_before(last)
    }

    /// Decisions' worth of light before a decision.
    fn lit_before(&self, decision: u64) -> f64 {
        self.ones_before(decision) as f64 - self.edge_loss * self.runs_before(decision) as f64
    }

    /// Flux x ticks from the first tick to `ticks`, a straight line within each decision; 0 before the first. As if all light
    /// were prompt.
    #[must_use]
    pub fn light_until(&self, ticks: f64) -> f64 {
        let stretch = f64::from(self.stretch);
        let decisions = (ticks - f64::from(self.late_ticks)).max(0.0) / stretch;
        let whole = decisions as u64;
        let before = self.lit_before(whole);
        let on = self.lit_before(whole + 1) - before;
        self.flux * stretch * (before + on * decisions.fract())
    }

    /// Least and most ones in any window of `decisions` decisions: the product with the density, rounded down and up.
    ///
    /// Exact for a stream that goes on for its whole period (Christoffel words; Morse and Hedlund 1940).
    #[must_use]
    pub fn ones_in_a_window(&self, decisions: u64) -> (u64, u64) {
        if self.density == Density::FULL {
            return (decisions, decisions);
        }
        let product = u128::from(decisions) * u128::from(self.density.to_bits());
        ((product >> 32) as u64, product.div_ceil(1 << 32) as u64)
    }

    /// Least and most light (flux x ticks) in any window of `ticks` ticks. Light that decays stays within: it is a mean of
    /// windows that lie earlier.
    ///
    /// A window that is no whole number of decisions is extreme where one of its ends meets a decision's, so both bounds go
    /// straight from one whole number to the next. Above half density a run at an end of the window counts as begun in it or
    /// not, whichever is further out: the bounds are safe, by at most two edges.
    #[must_use]
    pub fn light_in_a_window(&self, ticks: u64) -> (f64, f64) {
        let stretch = u64::from(self.stretch);
        let part = (ticks % stretch) as f64 / stretch as f64;
        let (from, to) = (ticks / stretch, ticks / stretch + 1);
        let (shorter, longer) = (self.lit_in_a_window(from), self.lit_in_a_window(to));
        let between = |shorter: f64, longer: f64| {
            self.flux * stretch as f64 * (shorter + part * (longer - shorter))
        };
        (between(shorter.0, longer.0), between(shorter.1, longer.1))
    }

    fn lit_in_a_window(&self, decisions: u64) -> (f64, f64) {
        let (least, most) = self.ones_in_a_window(decisions);
        let (least, most) = (least as f64, most as f64);
        if self.ones_stand_alone() {
            return (
                (1.0 - self.edge_loss) * least,
                (1.0 - self.edge_loss) * most,
            );
        }
        let zeros = |ones: f64| self.edge_loss * (decisions as f64 - ones);
        let edge = self.edge_loss.abs();
        (least - zeros(least) - edge, most - zeros(most) + edge)
    }
}

/// Least and most light (flux x ticks) of channels in any window of `ticks` ticks, whatever their phases to each other.
///
/// Streams whose densities have no common measure pass through all phases; where they have one, the bounds are safe.
#[must_use]
pub fn light_in_a_window(channels: &[SteadyChannel], ticks: u64) -> (f64, f64) {
    channels.iter().fold((0.0, 0.0), |(least, most), channel| {
        let light = channel.light_in_a_window(ticks);
        (least + light.0, most + light.1)
    })
}
