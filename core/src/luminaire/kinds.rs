//! What the channels of a luminaire can hold: less of it takes less flash and RAM.

use super::operate::Operate;
use super::rowed::RowedChannel;
use super::stream::{AnyStream, Stream};
use crate::Light;
use crate::density::{Density, FirstOrder};
use crate::operating::Row;

/// A kind of channel: [`AnyModulation`], [`FirstOrderOnly`] or [`FirstOrderPlain`]. What a kind does not hold is not linked.
///
/// | kind | built by | bytes a channel | least firmware of 5 channels at opt-level s |
/// |---|---|---:|---:|
/// | [`AnyModulation`] | [`Luminaire::new`](super::Luminaire::new) | 56 | 9.9 KB |
/// | [`FirstOrderOnly`] | [`Luminaire::first_order`](super::Luminaire::first_order) | 40 | 6.3 KB |
/// | [`FirstOrderPlain`] | [`Luminaire::plain`](super::Luminaire::plain) | 28 | 3.4 KB |
///
/// (RAM with pointers of 32 bits; from the ledger: `ram_a_channel`, `firmware_5` and their like.)
///
/// ```
/// use milliglow::curve::Curve;
/// use milliglow::density::Modulation;
/// use milliglow::luminaire::{Configuration, FirstOrderPlain, Luminaire};
/// use milliglow::constant;
///
/// const CONFIGURATION: Configuration<5> = Configuration::new(Curve::Lightness, [Modulation::FirstOrder; 5], 1);
/// let small: Luminaire<5, FirstOrderPlain> = constant!(Luminaire::plain(&CONFIGURATION));
/// assert!(small.is_black());
/// ```
pub trait Channel<'t>: Operate<'t> {}

/// Channels of any modulation, with operating tables: what a [`Luminaire`](super::Luminaire) has if nothing else is said.
pub type AnyModulation<'t> = RowedChannel<'t, AnyStream>;

/// Channels of first order, with operating tables: no other modulation is linked.
pub type FirstOrderOnly<'t> = RowedChannel<'t, FirstOrder>;

/// Channels of first order without operating tables: neither other modulations nor set points are linked.
#[derive(Clone, Debug)]
pub struct FirstOrderPlain(pub(super) FirstOrder);

impl<'t, S: Stream> Channel<'t> for RowedChannel<'t, S> {}
impl Channel<'_> for FirstOrderPlain {}

impl<'t> Operate<'t> for FirstOrderPlain {
    type Modulator = FirstOrder;

    #[inline(always)]
    fn enter_own(&mut self, light: Light) -> Density {
        Density::from_light(light)
    }

    fn row_for(&self, _: Light) -> u8 {
        0
    }

    #[inline(always)]
    fn enter(&mut self, _: u8, light: Light) -> Density {
        Density::from_light(light)
    }

    fn wake(&mut self, density: Density, phase: u32) {
        self.0.wake(density, phase);
    }

    #[inline(never)]
    fn fill(&mut self, density: Density, _: u32, words: &mut [u32]) {
        self.0.fill(density, words);
    }

    fn row(&self) -> &'t Row {
        &Row::PLAIN
    }

    fn row_number(&self) -> u8 {
        0
    }

    fn lag(&self, _: u32) -> u32 {
        0
    }

    fn modulator(&self) -> &FirstOrder {
        &self.0
    }
}
