//! Streams of luminaires that stand still, in pieces of bounded size.

use super::second_order_lanes::{Held, Lanes};
use super::stepped::Stepped;

/// Words drawn at a time.
const BUFFER: usize = 1_024;

/// Draws `words` words of every channel, in pieces, at the densities of the moment.
///
/// *Cost*: the core's. Channels of second order with a decision a tick are stepped side by side after the first piece, sixteen
/// at the price of one or two; the luminaire's own modulators of them stay where they were.
pub fn stream(
    luminaire: &mut Box<dyn Stepped>,
    channels: usize,
    words: usize,
    mut see: impl FnMut(&[&[u32]]),
) {
    streams(
        std::slice::from_mut(luminaire),
        channels,
        words,
        |_, slices| {
            see(slices);
        },
    );
}

/// The same of several luminaires of as many channels, whose modulators of second order share their steps: shows pieces with
/// the number of their luminaire.
pub fn streams(
    luminaires: &mut [Box<dyn Stepped>],
    channels: usize,
    words: usize,
    mut see: impl FnMut(usize, &[&[u32]]),
) {
    let mut buffers = vec![vec![0; BUFFER]; channels * luminaires.len()];
    let mut drawing = Drawing::Core;
    let mut left = words;
    while left > 0 {
        let now = left.min(BUFFER);
        left -= now;
        let slices = buffers.iter_mut().map(|buffer| &mut buffer[..now]);
        let mut slices: Vec<_> = slices.collect();
        drawing = drawing.fill(luminaires, channels, &mut slices, left > 0);
        for (number, slices) in slices.chunks(channels).enumerate() {
            see(
                number,
                &slices.iter().map(|slice| &**slice).collect::<Vec<_>>(),
            );
        }
    }
}

/// Who draws the next piece.
enum Drawing {
    /// The core all of it: what settles does so in the first piece.
    Core,
    /// Lanes the channels that are marked, the core the others.
    Lanes(Lanes, Vec<bool>),
}

impl Drawing {
    fn fill(
        mut self,
        luminaires: &mut [Box<dyn Stepped>],
        channels: usize,
        slices: &mut [&mut [u32]],
        goes_on: bool,
    ) -> Self {
        let Self::Lanes(lanes, marked) = &mut self else {
            return match goes_on {
                true => begin(luminaires, channels, slices),
                false => {
                    fill_by_core(luminaires, channels, slices, |_| true);
                    Self::Core
                }
            };
        };
        fill_by_core(luminaires, channels, slices, |channel| !marked[channel]);
        let marked = slices
            .iter_mut()
            .zip(&*marked)
            .filter(|(_, marked)| **marked);
        lanes.fill(&mut marked.map(|(slice, _)| &mut **slice).collect::<Vec<_>>());
        self
    }
}

/// The first piece, and lanes for what goes on. Their lags hold back what the modulators drew in the last word.
fn begin(
    luminaires: &mut [Box<dyn Stepped>],
    channels: usize,
    slices: &mut [&mut [u32]],
) -> Drawing {
    let before = |slice: &mut &mut [u32]| slice.len() - 1;
    let parts = slices.iter_mut().map(|slice| {
        let last = before(slice);
        slice.split_at_mut(last)
    });
    let (mut first, mut last): (Vec<_>, Vec<_>) = parts.unzip();
    fill_by_core(luminaires, channels, &mut first, |_| true);
    let held = luminaires.iter().flat_map(|luminaire| luminaire.held());
    let held: Vec<_> = held.map(|held| held.map(after_a_word)).collect();
    fill_by_core(luminaires, channels, &mut last, |_| true);
    let lane = |held: &Option<(Held, u32)>| held.as_ref().is_some_and(|(held, _)| held.is_lane());
    let marked: Vec<_> = held.iter().map(lane).collect();
    let lanes: Vec<_> = held
        .into_iter()
        .flatten()
        .filter(|(held, _)| held.is_lane())
        .collect();
    match lanes.is_empty() {
        true => Drawing::Core,
        false => Drawing::Lanes(Lanes::new(lanes), marked),
    }
}

/// A word later, with what its lag then holds back.
fn after_a_word(mut held: Held) -> (Held, u32) {
    let late = held
        .next_word()
        .checked_shl(32 - held.late_ticks)
        .unwrap_or(0);
    (held, late)
}

/// Channels that the core does not draw keep their words.
fn fill_by_core(
    luminaires: &mut [Box<dyn Stepped>],
    channels: usize,
    slices: &mut [&mut [u32]],
    draws: impl Fn(usize) -> bool,
) {
    let mut number = 0;
    for (luminaire, slices) in luminaires.iter_mut().zip(slices.chunks_mut(channels)) {
        let wanted = slices.iter_mut().map(|slice| {
            number += 1;
            let words = if draws(number - 1) { slice.len() } else { 0 };
            &mut slice[..words]
        });
        luminaire.fill(&mut wanted.collect::<Vec<_>>());
    }
}

#[cfg(test)]
mod tests {
    use milliglow::Level;
    use rand::{RngExt, SeedableRng};
    use rand_pcg::Pcg32;

    use super::{BUFFER, streams};
    use crate::description::{BUILT_IN, Description, Modulation, OperatingRow, parse};
    use crate::run::{Stepped, steady_shares};

    const LUMINAIRES: u64 = 40;

    /// Channels of mixed orders, ranges and stretches, with edges that are booked or not.
    fn drawn(random: &mut Pcg32) -> Description {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        cove.operating.edge_correction = random.random();
        let stretch = 1 << random.random_range(0..5);
        let ratio = random.random_range(1.0..16.0);
        for channel in &mut cove.channels {
            channel.modulation = match random.random_range(0..8) {
                0 => Modulation::FirstOrder,
                1 => Modulation::Dithered { width_shift: 0 },
                _ => Modulation::SecondOrder,
            };
            let row = |from_light, range_ratio, stretch| OperatingRow {
                from_light,
                range_ratio,
                stretch,
                ..OperatingRow::PLAIN
            };
            channel.rows = match random.random_range(0..3) {
                0 => vec![OperatingRow::PLAIN],
                1 => vec![row(0.0, 1.0, 1), row(0.05, 1.0, stretch)],
                _ => vec![
                    row(0.0, ratio, 1),
                    row(0.02, 1.0, 1),
                    row(0.3, 1.0, stretch),
                ],
            };
        }
        cove
    }

    fn standing(random: &mut Pcg32) -> impl Fn() -> Box<dyn Stepped> + use<> {
        let described = drawn(random);
        let shares: Vec<f64> = (0..5)
            .map(|_| 2.0_f64.powf(random.random_range(-6.0..0.0)))
            .collect();
        let level = Level::from_bits(random.random_range(1..=u16::MAX));
        move || steady_shares(&described, &shares, level)
    }

    /// Three luminaires together, whole and in part in lanes, against each by its core alone; and lanes were used.
    #[test]
    fn every_bit_is_the_core_s() {
        let mut random = Pcg32::seed_from_u64(5);
        let mut in_lanes = 0;
        for _ in 0..LUMINAIRES {
            let words = random.random_range(1..20 * BUFFER);
            let stand: Vec<_> = (0..4).map(|_| standing(&mut random)).collect();
            let mut together: Vec<_> = stand.iter().map(|stand| stand()).collect();
            let mut alone: Vec<_> = stand.iter().map(|stand| stand()).collect();
            in_lanes += alone
                .iter()
                .flat_map(|one| one.held())
                .flatten()
                .filter(|held| held.is_lane())
                .count();
            let mut seen = 0;
            streams(&mut together, 5, words, |number, slices| {
                let mut expected = vec![vec![0; slices[0].len()]; 5];
                let mut buffers: Vec<_> = expected.iter_mut().map(|words| &mut words[..]).collect();
                alone[number].fill(&mut buffers);
                assert_eq!(slices, expected, "{number}");
                seen += slices[0].len();
            });
            assert_eq!(seen, 4 * words);
        }
        assert!(in_lanes > LUMINAIRES as usize * 5, "{in_lanes}");
    }
}
