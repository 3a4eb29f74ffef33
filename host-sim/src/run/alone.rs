//! A channel's stream at a stand, as if no other channel were there.

use milliglow::density::{Decision, Density, Lfsr32, Modulator};

use super::driven::{Driven, Stand};
use super::runs::runs_of_ones;
use super::supplied::behind;
use super::tables::{modulation, table};
use crate::description::{Description, Modulation};
use crate::optics::drivers::Gated;

/// The stream of one channel that stands still: it wakes with a pulse on its first tick, and is never late.
#[derive(Clone, Debug)]
pub struct Alone {
    modulator: Modulator,
    noise: Lfsr32,
    density: Density,
    decision: Decision,
}

impl Alone {
    /// Of the channel of that number.
    #[must_use]
    pub fn new(description: &Description, channel: usize, stand: &Stand) -> Self {
        let described = &description.channels[channel];
        let table = table(description, described);
        let mut modulator = Modulator::new(modulation(described.modulation), 0);
        modulator.wake(stand.density, 0);
        Self {
            modulator,
            noise: Lfsr32::new(description.seed).expect("a validated seed"),
            density: stand.density,
            decision: table.at(stand.row as u8).decision(),
        }
    }

    /// The next ticks, 32 a word.
    pub fn fill(&mut self, words: &mut [u32]) {
        self.modulator
            .fill_as(self.density, self.decision, words, &mut self.noise);
    }
}

/// Pulses or gaps that tell what a one gives, and the most decisions that are stepped for them.
const PULSES: f64 = 500.0;
const MOST_DECISIONS: f64 = 20_000.0;

/// Whether [`Driven::light`] is exact for a channel.
#[must_use]
pub fn light_is_exact(description: &Description, channel: usize, driven: &Driven) -> bool {
    let counted = matches!(
        description.channels[channel].modulation,
        Modulation::FirstOrder | Modulation::Timer { .. }
    );
    driven.edges_alike && (counted || description.operating.edge_correction)
}

/// Mean light of a channel at a stand over its full, on a supply that stands still: [`Driven::light`] where that is exact, otherwise
/// the density times what a one gives, by stepping some hundred pulses. *Error* of the latter for a stream without dither: 1e-4 of
/// it, since a gap more or less of either length may be among the pulses.
#[must_use]
pub fn mean_light(
    description: &Description,
    channel: usize,
    driven: &Driven,
    stand: &Stand,
) -> f64 {
    let booked = description.operating.edge_correction;
    let still = matches!(stand.density, Density::NONE | Density::FULL);
    if still || light_is_exact(description, channel, driven) {
        return driven.light(stand, booked);
    }
    let stretch = driven.stretches[stand.row];
    let density = stand.density.as_f64();
    let decisions = (PULSES / density.min(1.0 - density)).min(MOST_DECISIONS);
    let mut words = vec![0; (decisions * f64::from(stretch) / 32.0).ceil() as usize];
    Alone::new(description, channel, stand).fill(&mut words);
    let tick_s = 1.0 / f64::from(description.tick_hz);
    let mut gated = behind(&description.channels[channel].driver, tick_s, stretch);
    match a_one(&mut gated, &words) {
        Some(a_one) => driven.rows[stand.row].full * density * a_one,
        None => driven.light(stand, booked),
    }
}

/// What a one gives, from the first pulse past a quarter of the words to the last: what hangs over at its begin is what hangs
/// over at its end. None where there are no two.
fn a_one(gated: &mut Gated, words: &[u32]) -> Option<f64> {
    let pulses: Vec<_> = runs_of_ones(words)
        .into_iter()
        .map(|run| run.start)
        .collect();
    let settled = 8 * words.len();
    let first = *pulses.iter().find(|&&begin| begin >= settled)?;
    let last = *pulses.last()?;
    let is_one = |tick: usize| words[tick / 32] << (tick % 32) >> 31 == 1;
    let (mut light, mut ones) = (0.0, 0_u32);
    for tick in 0..last {
        let given = gated.tick(is_one(tick));
        if tick >= first {
            light += given;
            ones += u32::from(is_one(tick));
        }
    }
    (last > first).then(|| light / f64::from(ones))
}
