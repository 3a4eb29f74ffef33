//! The fast profile of whole luminaires.

use super::Luminaire;
use super::rowed::RowedChannel;
use super::stream::Stream;
use crate::density::Held;

impl<'t, const N: usize, S: Stream> Luminaire<'t, N, RowedChannel<'t, S>> {
    /// [`Luminaire::fill`] by the fast profile: with a [`Held`] a channel, and the words drawn last (see [`Held::fill`]), as a double buffer has
    /// them. First-order channels whose density stands then cost a fraction; the streams are the same. With a table whose decisions last
    /// several ticks nothing is copied from the words drawn last, since these are late. Between two calls words are drawn by this or by
    /// [`Luminaire::fill_port`] alone, or [`Held::forget`] is told.
    ///
    /// ```
    /// # use milliglow::curve::Curve;
    /// # use milliglow::density::{Held, Modulation};
    /// # use milliglow::luminaire::{Configuration, Luminaire};
    /// # const TWO: Configuration<2> = Configuration::new(Curve::Lightness, [Modulation::FirstOrder; 2], 1);
    /// # let mut luminaire = milliglow::constant!(Luminaire::new(&TWO));
    /// let mut held = [const { Held::new() }; 2];
    /// let mut halves = [[[0; 64]; 2]; 2];
    /// // Now the first half is due, and the second is being sent.
    /// let [first, second] = &mut halves;
    /// luminaire.fill_held(&mut held, second.each_ref().map(|words| &words[..]), first.each_mut().map(|words| &mut words[..]));
    /// ```
    pub fn fill_held(
        &mut self,
        held: &mut [Held; N],
        previous: [&[u32]; N],
        buffers: [&mut [u32]; N],
    ) {
        let mut phase = 0_u32;
        let lamps = self.lamps.iter_mut().zip(held);
        for (((lamp, held), previous), words) in lamps.zip(previous).zip(buffers) {
            lamp.channel
                .fill_held(lamp.density, phase, held, previous, words);
            phase = phase.wrapping_add(self.later);
        }
    }
}
