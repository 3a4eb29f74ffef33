//! What the drivers of a luminaire draw together.

use milliglow::Level;

use crate::description::Description;
use crate::metrics::flicker::{Line, spectrum};
use crate::optics::drivers::{Gated, LightDecay};
use crate::optics::{LineBand, PhasedLine, SteadyChannel, record_lines, steady_lines};
use crate::run::{Alone, Driven, Stand, SupplyCurrent, steady, stream};

/// What is heard of coils and capacitors.
const AUDIBLE_HZ: std::ops::RangeInclusive<f64> = 20.0..=20_000.0;

/// Ticks that are looked at, in seconds: one period of the lowest line. Lines of streams without a closed form are as
/// far apart as its inverse.
const WINDOW_S: f64 = 0.05;

/// The part of them, as a divisor, in which channels come up.
const START: usize = 10;

/// Dark in which a pulse is over.
const GAP_S: f64 = 100e-6;

/// With the channels' phases as the core spreads them, and as if all pulsed on the first tick.
pub(super) fn currents(
    description: &Description,
    recipe: usize,
    level: Level,
) -> (SupplyCurrent, SupplyCurrent) {
    let mut luminaire = steady(description, recipe, level);
    let stands = luminaire.stands();
    let drawing = Drawing::new(description, &stands);
    let words = (WINDOW_S * f64::from(description.tick_hz) / 32.0).ceil() as usize;
    let mut streams = vec![Vec::with_capacity(words); stands.len()];
    stream(&mut luminaire, stands.len(), words, |slices| {
        let streams = streams.iter_mut().zip(slices);
        streams.for_each(|(stream, slice)| stream.extend_from_slice(slice));
    });
    let alone = stands.iter().enumerate().map(|(channel, stand)| {
        let mut words = vec![0; words];
        Alone::new(description, channel, stand).fill(&mut words);
        words
    });
    let together: Vec<_> = alone.collect();
    let closed = drawing.closed();
    let phased: Option<Vec<_>> = closed
        .as_ref()
        .map(|channels| channels.iter().map(pulsing_at_once).collect());
    (
        drawing.current(&streams, closed.as_deref()),
        drawing.current(&together, phased.as_deref()),
    )
}

fn pulsing_at_once(channel: &SteadyChannel) -> SteadyChannel {
    SteadyChannel {
        // The first decision overflows.
        phase: 0u32.wrapping_sub(channel.density.to_bits()),
        late_ticks: 0,
        ..*channel
    }
}

/// By their powers, where all are known; else every channel counts the same.
fn parts(description: &Description) -> Vec<f64> {
    let channels = description.channels.iter();
    let powers: Option<Vec<_>> = channels.map(|channel| channel.power_w).collect();
    let powers = powers.unwrap_or_else(|| vec![1.0; description.channels.len()]);
    let all: f64 = powers.iter().sum();
    powers.iter().map(|power| power / all).collect()
}

struct Drawing<'a> {
    description: &'a Description,
    stands: &'a [Stand],
    driven: Vec<Driven>,
    /// What each channel draws at full, over all of them.
    parts: Vec<f64>,
    tick_hz: f64,
}

impl<'a> Drawing<'a> {
    fn new(description: &'a Description, stands: &'a [Stand]) -> Self {
        Self {
            description,
            stands,
            driven: Driven::all(description),
            parts: parts(description),
            tick_hz: f64::from(description.tick_hz),
        }
    }

    fn gated(&self, channel: usize) -> Gated {
        let driver = &self.description.channels[channel].driver;
        let stretch = self.driven[channel].stretches[self.stands[channel].row];
        let gated = Gated::whatever_the_rise(driver, 1.0 / self.tick_hz, stretch.into());
        gated.expect("a validated tick")
    }

    /// What a channel draws at full in its row, over all channels at their full.
    fn full(&self, channel: usize) -> f64 {
        self.driven[channel].set_points[self.stands[channel].row].current * self.parts[channel]
    }

    /// What is drawn, in closed form, if every channel has one.
    fn closed(&self) -> Option<Vec<SteadyChannel>> {
        let channels = self.stands.iter().enumerate();
        channels
            .map(|(channel, stand)| {
                let steady = self.driven[channel].steady(stand, self.parts[channel])?;
                Some(SteadyChannel {
                    flux: self.full(channel),
                    edge_loss: self.not_drawn(channel, steady.stretch),
                    decay: LightDecay::NONE,
                    ..steady
                })
            })
            .collect()
    }

    /// Decisions at full current that a pulse of one decision does not draw.
    fn not_drawn(&self, channel: usize, stretch: u8) -> f64 {
        let mut gated = self.gated(channel);
        let gap = (GAP_S * self.tick_hz / 32.0).ceil() as usize;
        let mut words = vec![0; 1 + gap];
        words[0] = u32::MAX << (32 - u32::from(stretch));
        gated.words(&words);
        1.0 - gated.drawn() / f64::from(stretch)
    }

    fn current(&self, streams: &[Vec<u32>], closed: Option<&[SteadyChannel]>) -> SupplyCurrent {
        let ticks = self.ticks(streams);
        let peak = ticks.iter().copied().fold(0.0, f64::max);
        // What goes on once all channels have come up.
        let steady = &ticks[ticks.len() / START..];
        let (least, most) = steady
            .iter()
            .fold((f64::INFINITY, 0.0_f64), |(least, most), &tick| {
                (least.min(tick), most.max(tick))
            });
        let mean = steady.iter().sum::<f64>() / steady.len() as f64;
        if mean <= 0.0 {
            return SupplyCurrent::default();
        }
        let square = steady.iter().map(|tick| (tick - mean).powi(2)).sum::<f64>();
        SupplyCurrent {
            peak,
            modulation: (most - least) / (most + least),
            ripple: (square / steady.len() as f64).sqrt() / mean,
            lines: self.lines(&ticks, closed),
        }
    }

    /// The mean of each tick.
    fn ticks(&self, streams: &[Vec<u32>]) -> Vec<f64> {
        let count = 32 * streams.first().map_or(0, Vec::len);
        let mut ticks = vec![0.0; count];
        for (channel, words) in streams.iter().enumerate() {
            let (mut gated, full) = (self.gated(channel), self.full(channel));
            for (word, ticks) in words.iter().zip(ticks.chunks_mut(32)) {
                for (k, tick) in ticks.iter_mut().enumerate() {
                    gated.tick(word << k >> 31 == 1);
                    *tick += full * gated.drawn();
                }
            }
        }
        ticks
    }

    fn lines(&self, ticks: &[f64], closed: Option<&[SteadyChannel]>) -> Vec<(f64, f64)> {
        let band = LineBand {
            below_hz: *AUDIBLE_HZ.end(),
            floor: 1e-3,
        };
        let lines = match closed {
            Some(channels) => steady_lines(channels, self.tick_hz, band),
            None => record_lines(ticks, self.tick_hz, band),
        };
        let lines: Vec<_> = lines.into_iter().map(PhasedLine::line).collect();
        let lines = spectrum::sum_within_1_hz(&lines).into_iter();
        let audible = lines.filter(|line| AUDIBLE_HZ.contains(&line.frequency_hz));
        audible
            .map(
                |Line {
                     frequency_hz,
                     amplitude,
                 }| (frequency_hz, amplitude),
            )
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::LevelChoice;
    use crate::optics::drivers::{Driver, Slew, SlewFigures};
    use crate::report::fixture;
    use crate::run::level;

    /// Two channels of one share, one light; 1 MHz.
    fn pair(light: f64, power_w: [Option<f64>; 2]) -> (SupplyCurrent, SupplyCurrent) {
        let mut description = fixture::checked().description;
        description.channels.truncate(2);
        for (channel, power_w) in description.channels.iter_mut().zip(power_w) {
            channel.power_w = power_w;
        }
        description.recipes.truncate(1);
        description.recipes[0].shares = vec![1.0, 1.0];
        let level = level(&description, LevelChoice::Light(light));
        currents(&description, 0, level)
    }

    #[test]
    fn spread_phases_halve_the_peak_of_two_equal_channels() {
        let (spread, together) = pair(0.1, [None; 2]);
        assert!((spread.peak - 0.5).abs() < 1e-12 && (together.peak - 1.0).abs() < 1e-12);
        assert!((spread.modulation - 1.0).abs() < 1e-12);
        // Ones for a tenth of the time: sqrt(1 / 0.1 - 1), and sqrt(1 / 0.2 - 1).
        assert!((together.ripple - 3.0).abs() < 0.01, "{}", together.ripple);
        assert!((spread.ripple - 2.0).abs() < 0.01, "{}", spread.ripple);
    }

    /// At 0.1 % two channels pulse at 1 kHz each; half a period apart the line at 1 kHz goes and that at 2 kHz stays.
    #[test]
    fn spread_phases_take_the_odd_lines() {
        let (spread, together) = pair(0.001, [None; 2]);
        let near = |current: &SupplyCurrent, hertz: f64| {
            let lines = current.lines.iter();
            let near = lines.filter(|line| (line.0 / hertz - 1.0).abs() < 0.01);
            near.map(|line| line.1).fold(0.0, f64::max)
        };
        assert!(near(&together, 1e3) > 1.9 && near(&together, 2e3) > 1.9);
        assert!(near(&spread, 1e3) < 0.1 && near(&spread, 2e3) > 1.9);
        let audible = |current: &SupplyCurrent| {
            current
                .lines
                .iter()
                .all(|line| AUDIBLE_HZ.contains(&line.0))
        };
        assert!(audible(&spread) && audible(&together));
    }

    #[test]
    fn powers_weigh_the_channels_where_all_are_known() {
        assert!((pair(0.1, [Some(3.0), Some(1.0)]).0.peak - 0.75).abs() < 1e-12);
        assert!((pair(0.1, [Some(3.0), None]).0.peak - 0.5).abs() < 1e-12);
    }

    /// The record of ticks and the closed form tell the same lines: edges take of the light, a turn-on's charge does not of the supply.
    #[test]
    fn closed_form_and_record_agree_on_lines() {
        let mut description = fixture::checked().description;
        let figures = SlewFigures {
            rise_s: 500e-9,
            turn_on_charge_s: 100e-9,
            ..SlewFigures::default()
        };
        for channel in &mut description.channels {
            channel.driver = Driver::Slew(Slew::new(figures).unwrap());
        }
        // A period of 1 000 ticks: 50 of them in the window.
        description.operating.edge_correction = false;
        description.channels.truncate(1);
        description.recipes[0].shares = vec![1.0];
        let stands = steady(&description, 0, Level::FULL).stands();
        let stand = Stand {
            density: milliglow::density::Density::from_bits(1 << 22),
            charge: Some(0),
            ..stands[0]
        };
        let stands = [stand];
        let drawing = Drawing::new(&description, &stands);
        let closed: Vec<_> = drawing
            .closed()
            .unwrap()
            .iter()
            .map(pulsing_at_once)
            .collect();
        let mut words = vec![0; 32 * 64];
        Alone::new(&description, 0, &stand).fill(&mut words);
        let ticks = drawing.ticks(&[words]);
        let exact = drawing.lines(&ticks, Some(&closed));
        let recorded = drawing.lines(&ticks, None);
        assert_eq!(exact.len(), recorded.len());
        assert!(exact.len() > 10);
        for (exact, recorded) in exact.iter().zip(&recorded) {
            assert!(
                (exact.0 / recorded.0 - 1.0).abs() < 1e-6,
                "{exact:?} {recorded:?}"
            );
            assert!(
                (exact.1 / recorded.1 - 1.0).abs() < 1e-3,
                "{exact:?} {recorded:?}"
            );
        }
    }
}
