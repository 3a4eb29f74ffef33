//! The ticks of all channels as words of a port.

use super::Luminaire;
use crate::density::{Held, flood};
use crate::output::{PortWord, port_words};

/// Words of each channel that are drawn together, on the stack.
const TOGETHER: usize = 8;

impl<const N: usize> Luminaire<'_, N> {
    /// The next ticks of all channels for a DMA that writes a port of `W` once a tick, as they lie in memory: four `u8`, two `u16` or one
    /// `u32` a word. In whole blocks of 32 ticks; a rest of the buffer is left as it is.
    ///
    /// While all channels are of first order and at most at 1/128, in decisions of a tick, the buffer is cleared and each pulse is put in:
    /// on a Cortex-M0 about 0.3 cycles a tick and channel at 1/256. Else it is [`Luminaire::next_words`] and [`port_words`] in turn.
    ///
    /// ```
    /// # use milliglow::curve::Curve;
    /// # use milliglow::density::{Held, Modulation};
    /// # use milliglow::luminaire::{Configuration, Luminaire};
    /// # const FOUR: Configuration<4> = Configuration::new(Curve::Lightness, [Modulation::FirstOrder; 4], 1);
    /// # let mut luminaire = milliglow::constant!(Luminaire::new(&FOUR));
    /// let mut held = [const { Held::new() }; 4];
    /// let mut ticks = [0; 256]; // 1024 of a port of 8 pins
    /// luminaire.fill_port::<u8>(&mut held, &mut ticks);
    /// ```
    pub fn fill_port<W: PortWord>(&mut self, held: &mut [Held; N], words: &mut [u32]) {
        let block = const { 32 / W::LANES };
        let whole = words.len() & !(block - 1);
        let words = words.get_mut(..whole).unwrap_or_default();
        if self.are_sparse(held, (whole as u32).wrapping_mul(W::LANES as u32)) {
            self.scatter::<W>(held, words);
        } else {
            held.iter_mut().for_each(Held::forget);
            for blocks in words.chunks_mut(const { 32 / W::LANES * TOGETHER }) {
                self.draw_blocks::<W>(blocks);
            }
        }
    }

    /// A few blocks of 32 ticks from words of all channels.
    fn draw_blocks<W: PortWord>(&mut self, words: &mut [u32]) {
        let mut drawn = [[0; TOGETHER]; N];
        let blocks = words.chunks_mut(const { 32 / W::LANES });
        let count = blocks.len();
        self.fill(
            drawn
                .each_mut()
                .map(|words| words.get_mut(..count).unwrap_or_default()),
        );
        let mut channels = drawn.each_ref().map(|words| words.iter());
        for block in blocks {
            let column = channels
                .each_mut()
                .map(|words| words.next().copied().unwrap_or(0));
            let mut ticks = [W::from_byte(0); 32];
            port_words(&column, &mut ticks);
            W::pack(&ticks, block);
        }
    }

    /// Prepares, and asks all.
    fn are_sparse(&self, held: &mut [Held; N], ticks: u32) -> bool {
        let mut phase = 0_u32;
        let mut channels = self.channels.iter().zip(&self.densities).zip(held);
        channels.all(|((channel, &density), held)| {
            let lag = channel.lag(phase);
            phase = phase.wrapping_add(self.later);
            channel.is_sparse(density, lag, held, ticks)
        })
    }

    fn scatter<W: PortWord>(&mut self, held: &mut [Held; N], words: &mut [u32]) {
        flood(words, 0);
        let (lanes, ticks) = (
            const { W::LANES.trailing_zeros() },
            (words.len() * W::LANES) as u32,
        );
        let lane_bits = const { 32 / W::LANES as u32 };
        let channels = self.channels.iter_mut().zip(&self.densities).zip(held);
        for (((channel, &density), held), k) in channels.zip(0..) {
            let pin = 1_u32 << (k & 15);
            channel.scatter(density, held, ticks, |tick| {
                if let Some(word) = words.get_mut((tick >> lanes) as usize) {
                    *word |= (pin << ((tick & ((1 << lanes) - 1)) * lane_bits)).to_le();
                }
            });
        }
    }
}
