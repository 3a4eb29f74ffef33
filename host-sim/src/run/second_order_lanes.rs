//! Second-order streams of densities that stand still, sixteen side by side: what the core does a decision at a time, in arrays
//! that a processor's vectors take.

use milliglow::density::{Decision, Density, SecondOrder, Shaping, Stretch};
use pulp::{Arch, NullaryFnOnce};

/// Streams of a bank.
const LANES: usize = 16;
const PULSE: i32 = 1 << 16;
/// Words that are drawn before they are dealt out to the channels.
const PIECE: usize = 64;

/// A channel that holds a density.
#[derive(Clone, Debug)]
pub struct Held {
    /// Its modulator as it stands.
    pub modulator: SecondOrder,
    /// Its density.
    pub density: Density,
    /// Its decisions.
    pub decision: Decision,
    /// Ticks by which it is late for good.
    pub late_ticks: u32,
}

impl Held {
    fn shaping(&self) -> Option<Shaping> {
        let plain = self.decision.stretch == Stretch::One;
        self.modulator.shaping(self.density).filter(|_| plain)
    }

    /// Whether it can be a lane: a decision a tick, and nothing near to straying.
    pub(super) fn is_lane(&self) -> bool {
        self.shaping().is_some()
    }

    fn fill(&mut self, words: &mut [u32]) {
        self.modulator.fill_as(self.density, self.decision, words);
    }

    /// A word that its lag does not hold back.
    pub(super) fn next_word(&mut self) -> u32 {
        let mut word = [0];
        self.fill(&mut word);
        word[0]
    }
}

/// Lanes that go on from where their channels stand, bit for bit as those would.
#[derive(Clone, Debug)]
pub(super) struct Lanes {
    banks: Vec<Bank>,
    channels: Vec<Channel>,
    drawn: Vec<[u32; LANES]>,
}

#[derive(Clone, Debug)]
struct Channel {
    held: Held,
    /// Its modulator goes on by itself: it came near to straying, which a steady density does not do.
    is_alone: bool,
    /// Words since it was held.
    words: usize,
    /// What its lag holds back, in the highest bits.
    late: u32,
}

impl Lanes {
    /// Of channels that [can be lanes](Held::is_lane), with what the lag of each holds back in the highest bits.
    pub(super) fn new(channels: Vec<(Held, u32)>) -> Self {
        let channel = |(held, late): (Held, u32)| Channel {
            is_alone: !held.is_lane(),
            held,
            words: 0,
            late,
        };
        let channels: Vec<_> = channels.into_iter().map(channel).collect();
        Self {
            banks: channels.chunks(LANES).map(Bank::of).collect(),
            channels,
            drawn: Vec::new(),
        }
    }

    /// The next words of each channel, as many of each; few at a time, so that what is drawn stays near the processor.
    pub(super) fn fill(&mut self, buffers: &mut [&mut [u32]]) {
        let words = buffers.first().map_or(0, |buffer| buffer.len());
        for begin in (0..words).step_by(PIECE) {
            let piece = begin..words.min(begin + PIECE);
            let pieces = buffers.iter_mut().map(|buffer| &mut buffer[piece.clone()]);
            self.fill_piece(&mut pieces.collect::<Vec<_>>());
        }
    }

    fn fill_piece(&mut self, buffers: &mut [&mut [u32]]) {
        let words = buffers.first().map_or(0, |buffer| buffer.len());
        self.drawn.resize(words, [0; LANES]);
        let banks = self.banks.iter_mut();
        let channels = self.channels.chunks_mut(LANES);
        for ((bank, channels), buffers) in banks.zip(channels).zip(buffers.chunks_mut(LANES)) {
            bank.fill(&mut self.drawn);
            for (lane, (channel, buffer)) in channels.iter_mut().zip(buffers).enumerate() {
                let drawn = self.drawn.iter().map(|words| words[lane]);
                buffer
                    .iter_mut()
                    .zip(drawn)
                    .for_each(|(word, drawn)| *word = drawn);
                channel.finish(bank.is_calm(lane), buffer);
            }
        }
    }
}

impl Channel {
    /// Takes what its lane drew, if that holds.
    fn finish(&mut self, is_calm: bool, words: &mut [u32]) {
        if !is_calm && !self.is_alone {
            self.is_alone = true;
            let mut again = vec![0; self.words];
            self.held.fill(&mut again);
        }
        if self.is_alone {
            self.held.fill(words);
        }
        self.words += words.len();
        self.hold_back(words);
    }

    fn hold_back(&mut self, words: &mut [u32]) {
        let lag = self.held.late_ticks;
        if lag == 0 {
            return;
        }
        for word in words {
            let held = *word << (32 - lag);
            *word = *word >> lag | self.late;
            self.late = held;
        }
    }
}

/// What sixteen modulators carry, a part an array. The sum lies half a pulse higher than the core's, so that its sign decides.
#[derive(Clone, Debug)]
struct Bank {
    charge: [i32; LANES],
    /// Below the charge, and above what is to be carried.
    rest: [i32; LANES],
    sum: [i32; LANES],
    step: [i32; LANES],
    step_rest: [i32; LANES],
    edge: [i32; LANES],
    edge_rest: [i32; LANES],
    /// All ones after a rising edge that is not booked yet, and after a zero.
    rising: [i32; LANES],
    dark: [i32; LANES],
    /// Every bit that the sizes of sums and charges had after a word.
    sums: [i32; LANES],
    charges: [i32; LANES],
    has_edges: bool,
}

impl Bank {
    fn of(channels: &[Channel]) -> Self {
        let held = |lane: usize| channels.get(lane).map(|channel| &channel.held);
        let density = |lane| held(lane).map_or(1 << 31, |held| held.density.to_bits());
        let edge = |lane| held(lane).map_or(0, |held| 2 * i64::from(held.decision.edge.to_bits()));
        let shaping = |lane| held(lane).and_then(Held::shaping).unwrap_or(AT_REST);
        Self {
            charge: lanes(|lane| (shaping(lane).charge >> 16) as i32),
            rest: lanes(|lane| (shaping(lane).charge & 0xFFFF) as i32),
            sum: lanes(|lane| shaping(lane).sum + PULSE / 2),
            step: lanes(|lane| (density(lane) >> 16) as i32 - PULSE),
            step_rest: lanes(|lane| (density(lane) & 0xFFFF) as i32),
            edge: lanes(|lane| (edge(lane) >> 16) as i32),
            edge_rest: lanes(|lane| (edge(lane) & 0xFFFF) as i32),
            rising: [0; LANES],
            dark: lanes(|lane| -i32::from(!shaping(lane).lit)),
            sums: [0; LANES],
            charges: [0; LANES],
            has_edges: (0..LANES).any(|lane| edge(lane) != 0),
        }
    }

    fn fill(&mut self, words: &mut [[u32; LANES]]) {
        let arch = Arch::new();
        if self.has_edges {
            arch.dispatch(Filling::<true> { bank: self, words });
        } else {
            arch.dispatch(Filling::<false> { bank: self, words });
        }
    }

    /// Whether it was far from straying after every word so far.
    fn is_calm(&self, lane: usize) -> bool {
        let below = |bits: i32, limit: u32| bits.cast_unsigned() < limit;
        below(self.sums[lane], Shaping::NEAR) && below(self.charges[lane], Shaping::CALM)
    }

    #[inline(always)]
    fn word<const EDGES: bool>(&mut self) -> [u32; LANES] {
        let mut zeros = [0; LANES];
        for _ in 0..32 {
            for (lane, zeros) in zeros.iter_mut().enumerate() {
                let zero = self.decide::<EDGES>(lane);
                *zeros = (*zeros << 1) - zero;
            }
        }
        for lane in 0..LANES {
            self.sums[lane] |= self.sum[lane] ^ self.sum[lane] >> 31;
            self.charges[lane] |= self.charge[lane] ^ self.charge[lane] >> 31;
        }
        zeros.map(|zeros: i32| !zeros.cast_unsigned())
    }

    /// All ones for a zero.
    #[inline(always)]
    fn decide<const EDGES: bool>(&mut self, lane: usize) -> i32 {
        let mut step = self.step[lane];
        let mut rest = (self.rest[lane] & 0xFFFF) + self.step_rest[lane];
        if EDGES {
            step += self.edge[lane] & self.rising[lane];
            rest += self.edge_rest[lane] & self.rising[lane];
        }
        self.rest[lane] = rest;
        let charge = self.charge[lane].wrapping_add(step + (rest >> 16));
        let sum = self.sum[lane].wrapping_add(charge);
        let zero = sum >> 31;
        let back = zero & PULSE;
        self.charge[lane] = charge.wrapping_add(back);
        self.sum[lane] = sum.wrapping_add(back);
        if EDGES {
            self.rising[lane] = self.dark[lane] & !zero;
            self.dark[lane] = zero;
        }
        zero
    }
}

/// Of lanes that no channel has.
const AT_REST: Shaping = Shaping {
    charge: 0,
    sum: 0,
    lit: false,
};

fn lanes(of: impl Fn(usize) -> i32) -> [i32; LANES] {
    std::array::from_fn(of)
}

/// Filling words with the widest vectors that the processor has.
struct Filling<'a, const EDGES: bool> {
    bank: &'a mut Bank,
    words: &'a mut [[u32; LANES]],
}

impl<const EDGES: bool> NullaryFnOnce for Filling<'_, EDGES> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        // A copy of its own stays in registers.
        let mut bank = self.bank.clone();
        for words in self.words {
            *words = bank.word::<EDGES>();
        }
        *self.bank = bank;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn held(bits: u32) -> Held {
        Held {
            modulator: SecondOrder::new(bits),
            density: Density::from_bits(bits),
            decision: Decision::PLAIN,
            late_ticks: bits % 16,
        }
    }

    /// A lane that nears straying is dropped, and its channel goes on as if there had been none.
    #[test]
    fn a_lane_that_strays_is_left_to_the_core() {
        let channels = [held(0x4321_9876), held(0x0123_4567)];
        let draw = |strays: bool| {
            let mut lanes = Lanes::new(channels.iter().map(|held| (held.clone(), 0)).collect());
            let mut words = [vec![0; 300], vec![0; 300]];
            for piece in 0..3 {
                if strays && piece == 1 {
                    lanes.banks[0].sum[1] = 1 << 28;
                }
                let pieces = words
                    .iter_mut()
                    .map(|words| &mut words[100 * piece..][..100]);
                lanes.fill(&mut pieces.collect::<Vec<_>>());
            }
            (
                words,
                lanes
                    .channels
                    .iter()
                    .map(|channel| channel.is_alone)
                    .collect::<Vec<_>>(),
            )
        };
        let (words, alone) = draw(false);
        assert_eq!(alone, [false, false]);
        assert_eq!(draw(true), (words, vec![false, true]));
    }
}
