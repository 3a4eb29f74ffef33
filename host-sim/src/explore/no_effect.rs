//! The no-effect condition for a channel that pulses at the bottom of the range, in closed form.

use crate::metrics::flicker::ieee1789::NO_EFFECT;

/// A channel's pulses in the light of its luminaire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulsing {
    /// Pulses a second: tick rate x range ratio x share x light, over the stretch.
    pub hertz: f64,
    /// The channel's flux over that of the luminaire.
    pub part: f64,
}

impl Pulsing {
    /// A first-order channel of flux F and share s among channels of `sum(s F)` lm, held at light L in a range of ratio R.
    #[must_use]
    pub fn new(tick_hz: f64, ratio: f64, light: f64, (share, flux): (f64, f64), sum: f64) -> Self {
        Self {
            hertz: tick_hz * ratio * share * light,
            part: share * flux / sum,
        }
    }

    /// Amplitude of the line at the pulse rate over what IEEE 1789-2015 no effect allows there; 0 beyond its last frequency.
    ///
    /// Short pulses are lines of twice their mean, so `2 s F / sum(s F) <= 0.000333 f R s L`: the share cancels, and
    /// `f R L >= 6006 Hz x F / sum(s F)` from 90 Hz on ([`least_product_hz`]). *Error*: below 1 % up to a density of 5 %, where
    /// no other channel has a line at that frequency (a test compares it with the simulated lines).
    #[must_use]
    pub fn over_no_effect(&self) -> f64 {
        let limit = NO_EFFECT.limit(self.hertz);
        limit.map_or(0.0, |limit| 2.0 * self.part / limit)
    }

    /// The same at the least: as if every other channel with a line within 3 Hz took as much of it as it can.
    #[must_use]
    pub fn least_over_no_effect(&self, others: &[Self]) -> f64 {
        let meets = |other: &&Self| {
            let nearest = (self.hertz / other.hertz).round().max(1.0) * other.hertz;
            other.part > 0.0 && (nearest - self.hertz).abs() < 3.0
        };
        let taken: f64 = others.iter().filter(meets).map(|other| other.part).sum();
        let part = (self.part - taken).max(0.0);
        Self { part, ..*self }.over_no_effect()
    }
}

/// What tick rate x range ratio x light must reach, in Hz: 6006 Hz x F / sum(s F), F being the flux of the channel and
/// sum(s F) that of the luminaire at full. Not needed where the channel pulses faster than 3 kHz.
#[must_use]
pub fn least_product_hz(flux: f64, sum: f64) -> f64 {
    2.0 / NO_EFFECT
        .limit(1_000.0)
        .map_or(1.0, |limit| limit / 1_000.0)
        * flux
        / sum
}

#[cfg(test)]
mod tests {
    use super::{Pulsing, least_product_hz};
    use crate::metrics::flicker::{Line, ieee1789::NO_EFFECT};
    use crate::optics::{LineBand, PhasedLine, SteadyChannel, steady_lines};
    use milliglow::density::Density;

    const FLUXES: [f64; 2] = [60.0, 400.0];

    /// The margin of the minor channel's own line, simulated: the major one is lit without a break.
    fn simulated(tick_hz: f64, density: f64) -> (f64, Pulsing) {
        let minor = Density::from_bits((density * 4_294_967_296.0) as u32);
        let channels = [
            SteadyChannel::new(minor, 0, FLUXES[0]),
            SteadyChannel::new(Density::FULL, 0, FLUXES[1]),
        ];
        let band = LineBand {
            below_hz: 3_000.0,
            floor: 1e-5,
        };
        let lines: Vec<Line> = steady_lines(&channels, tick_hz, band)
            .into_iter()
            .map(PhasedLine::line)
            .collect();
        let sum = density * FLUXES[0] + FLUXES[1];
        let worst = NO_EFFECT.worst(&lines).map_or(0.0, |worst| worst.margin());
        // In full light the share is the density.
        (
            worst,
            Pulsing::new(tick_hz, 1.0, 1.0, (density, FLUXES[0]), sum),
        )
    }

    #[test]
    fn the_condition_is_that_of_the_simulated_lines() {
        for tick_hz in [20_000.0, 60_000.0, 1e6] {
            for density in [0.000_517, 0.003, 0.011, 0.047] {
                let (lines, pulsing) = simulated(tick_hz, density);
                let closed = pulsing.over_no_effect();
                if pulsing.hertz > 3_000.0 {
                    assert_eq!(closed, 0.0);
                } else {
                    assert!(
                        (closed / lines - 1.0).abs() < 0.01,
                        "{tick_hz} {density}: {closed} {lines}"
                    );
                }
            }
        }
    }

    #[test]
    fn at_the_product_the_line_is_at_its_limit_whatever_the_share() {
        let sum = 580.6;
        let product = least_product_hz(60.0, sum);
        assert!(
            (product / (6_006.0 * 60.0 / sum) - 1.0).abs() < 1e-4,
            "{product}"
        );
        for share in [0.2, 0.9] {
            let over = Pulsing::new(1e6, 1.0, product / 1e6, (share, 60.0), sum).over_no_effect();
            assert!((over - 1.0).abs() < 1e-9, "{over}");
        }
    }

    #[test]
    fn a_line_at_the_same_frequency_may_take_it_away() {
        let one = Pulsing {
            hertz: 1_000.0,
            part: 0.6,
        };
        let same = Pulsing {
            hertz: 500.5,
            part: 0.2,
        };
        let far = Pulsing {
            hertz: 700.0,
            part: 0.2,
        };
        assert!(one.least_over_no_effect(&[far]) == one.over_no_effect());
        let least = one.least_over_no_effect(&[same, far]);
        assert!((least / one.over_no_effect() - 2.0 / 3.0).abs() < 1e-12);
    }
}
