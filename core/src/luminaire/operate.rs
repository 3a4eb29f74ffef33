//! What a luminaire does with a channel, whatever that can hold.

use crate::Light;
use crate::density::Density;
use crate::operating::Row;

/// Implemented by the kinds of channels here, by no others.
pub trait Operate<'t>: Clone {
    /// What makes its stream.
    type Modulator;

    /// Works in the row of this light from now on; the density that gives the light there.
    fn enter_own(&mut self, light: Light) -> Density;

    /// The number of the row that this light needs.
    fn row_for(&self, light: Light) -> u8;

    /// Works in a row from now on; the density that gives the light there.
    fn enter(&mut self, row: u8, light: Light) -> Density;

    /// Wakes up from black.
    fn wake(&mut self, density: Density, phase: u32);

    /// The next ticks, 32 a word, late for good by a phase of its longest decision.
    fn fill(&mut self, density: Density, phase: u32, words: &mut [u32]);

    /// The row in force.
    fn row(&self) -> &'t Row;

    /// Its number.
    fn row_number(&self) -> u8;

    /// The ticks that the channel is late for good.
    fn lag(&self, phase: u32) -> u32;

    /// Its modulator.
    fn modulator(&self) -> &Self::Modulator;
}
