//! What the drivers of a luminaire draw together.

use milliglow::Level;

use crate::description::Description;
use crate::metrics::flicker::{Line, spectrum};
use crate::optics::drivers::Gated;
use crate::optics::{LineBand, PhasedLine, SteadyChannel, record_lines, steady_lines};
use crate::run::{Alone, Driven, Stand, SupplyCurrent, steady, stream};

/// What is heard of coils and capacitors.
const AUDIBLE_HZ: std::ops::RangeInclusive<f64> = 20.0..=20_000.0;

/// Ticks that are looked at, in seconds: one period of the lowest line. Lines of streams without a closed form are as
/// far apart as its inverse.
const WINDOW_S: f64 = 0.05;

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
    stream(&mut *luminaire, stands.len(), words, |slices| {
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

struct Drawing<'a> {
    description: &'a Description,
    stands: &'a [Stand],
    driven: Vec<Driven>,
    tick_hz: f64,
}

impl<'a> Drawing<'a> {
    fn new(description: &'a Description, stands: &'a [Stand]) -> Self {
        Self {
            description,
            stands,
            driven: Driven::all(description),
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
        self.driven[channel].rows[self.stands[channel].row].full / self.stands.len() as f64
    }

    /// What is drawn, in closed form, if every channel has one.
    fn closed(&self) -> Option<Vec<SteadyChannel>> {
        let channels = self.stands.iter().enumerate();
        channels
            .map(|(channel, stand)| {
                let steady = self.driven[channel].steady(stand, 1.0 / self.stands.len() as f64)?;
                Some(SteadyChannel {
                    edge_loss: self.not_drawn(channel, steady.stretch),
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
        let (least, most) = ticks
            .iter()
            .fold((f64::INFINITY, 0.0_f64), |(least, most), &tick| {
                (least.min(tick), most.max(tick))
            });
        let mean = ticks.iter().sum::<f64>() / ticks.len() as f64;
        if mean <= 0.0 {
            return SupplyCurrent::default();
        }
        let square = ticks.iter().map(|tick| (tick - mean).powi(2)).sum::<f64>();
        SupplyCurrent {
            peak: most,
            modulation: (most - least) / (most + least),
            ripple: (square / ticks.len() as f64).sqrt() / mean,
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
