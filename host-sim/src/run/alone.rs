//! A channel's stream at a stand, as if no other channel were there.

use milliglow::density::{Decision, Density, Lfsr32, Modulator};

use super::driven::{Driven, Stand};
use super::supplied::behind;
use super::tables::{modulation, table};
use crate::description::{Description, Modulation};

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

/// Ones that tell what a one gives, and the most decisions that are stepped for them.
const ONES: f64 = 500.0;
const MOST_DECISIONS: f64 = 20_000.0;

/// Mean light of a channel at a stand over its full, on a supply that stands still: [`Driven::light`] where that is exact, otherwise
/// the density times what a one gives, by stepping some hundred pulses.
#[must_use]
pub fn mean_light(
    description: &Description,
    channel: usize,
    driven: &Driven,
    stand: &Stand,
) -> f64 {
    let booked = description.operating.edge_correction;
    let described = &description.channels[channel];
    let counted = matches!(
        described.modulation,
        Modulation::FirstOrder | Modulation::Timer { .. }
    );
    let still = matches!(stand.density, Density::NONE | Density::FULL);
    if still || driven.edges_alike && (counted || booked) {
        return driven.light(stand, booked);
    }
    let stretch = driven.stretches[stand.row];
    let decisions = (ONES / stand.density.as_f64()).min(MOST_DECISIONS);
    let mut words = vec![0; (decisions * f64::from(stretch) / 32.0).ceil() as usize];
    Alone::new(description, channel, stand).fill(&mut words);
    let tick_s = 1.0 / f64::from(description.tick_hz);
    let mut gated = behind(&described.driver, tick_s, stretch);
    let (begin, rest) = words.split_at(words.len() / 4);
    gated.words(begin);
    let ones: u32 = rest.iter().map(|word| word.count_ones()).sum();
    if ones < 2 {
        return driven.light(stand, booked);
    }
    let a_one = gated.words(rest) / f64::from(ones);
    driven.rows[stand.row].full * stand.density.as_f64() * a_one
}
