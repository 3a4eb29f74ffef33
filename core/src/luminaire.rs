//! A luminaire of N channels: targets in, N densities and N word streams out. Nothing here but wiring.

use crate::curve::Curve;
use crate::density::{Density, Lfsr32, Modulation, Modulator};
use crate::fade::{Fade, Pace};
use crate::{Error, Level, Recipe, Share};

/// What a luminaire is: may sit in flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Configuration<const N: usize> {
    /// From Level to light.
    pub curve: Curve,
    /// From density to stream, a channel each.
    pub modulation: [Modulation; N],
    /// Seed of the dither, not 0.
    pub seed: u32,
}

/// Where a luminaire should go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Target<const N: usize> {
    /// How bright.
    pub level: Level,
    /// In which colour.
    pub recipe: Recipe<N>,
}

/// The running luminaire.
///
/// The control step (0.5 to 8 kHz, from a timer) moves Level and shares and makes densities of them; the streams are
/// drawn a word or a buffer at a time with the densities of the moment. From black the first lit channel pulses on the
/// first tick, at any light, and the following lit ones each 1/N of their own time between pulses later, so that the pulses of
/// channels are spread. A channel that joins others that are lit pulses within 1 / density ticks.
///
/// *State*: 72 bytes for the curve and the fade, and 48 a channel: 16 for its share's fade, 4 for its density, 4 for its
/// noise, 24 for its modulator. *Interrupts*: one context at a time; hand targets over, not the luminaire.
///
/// ```
/// use milliglow::curve::{Curve, Exponential};
/// use milliglow::density::Modulation;
/// use milliglow::fade::Pace;
/// use milliglow::luminaire::{Configuration, Luminaire, Target};
/// use milliglow::{Level, Recipe, Share, constant};
///
/// const TWO_WHITES: Configuration<2> = Configuration {
///     curve: Curve::Exponential(constant!(Exponential::new(1_000, 2_048))),
///     modulation: [Modulation::FirstOrder; 2],
///     seed: 1,
/// };
/// let warm = Target { level: Level::FULL, recipe: Recipe::new([Share::FULL, Share::NONE]) };
/// let mut luminaire = constant!(Luminaire::new(&TWO_WHITES));
/// luminaire.fade_to(&warm, Pace::new(8_000)); // eight seconds at 1 kHz
/// for _ in 0..8_000 {
///     luminaire.control_step();
/// }
/// assert_eq!(luminaire.next_words(), [u32::MAX, 0]);
/// ```
#[derive(Clone, Debug)]
pub struct Luminaire<const N: usize> {
    curve: Curve,
    level: Fade<1>,
    shares: Fade<N>,
    densities: [Density; N],
    modulators: [Modulator; N],
    noise: [Lfsr32; N],
}

impl<const N: usize> Luminaire<N> {
    /// A luminaire in the dark.
    ///
    /// # Errors
    /// [`Error::Seed`] for a seed of 0.
    pub const fn new(configuration: &Configuration<N>) -> Result<Self, Error> {
        let Ok(first) = Lfsr32::new(configuration.seed) else {
            return Err(Error::Seed);
        };
        let mut modulators = [const { Modulator::new(Modulation::FirstOrder, 0) }; N];
        let mut noise = [const { crate::constant!(Lfsr32::new(1)) }; N];
        let mut k = 0;
        while k < N {
            modulators[k] = Modulator::new(configuration.modulation[k], Self::phase(k as u32));
            noise[k] = first.branch(k as u32);
            k += 1;
        }
        Ok(Self {
            curve: configuration.curve,
            level: Fade::at([0]),
            shares: Fade::at([0; N]),
            densities: [Density::NONE; N],
            modulators,
            noise,
        })
    }

    /// Starts from where the luminaire is, in flight or not; Level and all shares arrive together.
    ///
    /// In the dark there is no colour to leave: the shares are there at once and the Level alone moves.
    pub fn fade_to(&mut self, target: &Target<N>, pace: Pace) {
        let shares = target.recipe.shares().map(Share::to_bits);
        let colour_pace = if self.level() == Level::OFF {
            Pace::AT_ONCE
        } else {
            pace
        };
        self.shares.start(&shares, colour_pace);
        self.level.start(&[u32::from(target.level.to_bits())], pace);
    }

    /// One control step: moves Level and shares, and makes the densities of them.
    pub fn control_step(&mut self) {
        self.level.step();
        self.shares.step();
        let was_black = self.is_black();
        let light = self.curve.light(self.level());
        for (density, share) in self.densities.iter_mut().zip(self.shares.iter()) {
            *density = Density::from_light(Share::from_bits(share).of(light));
        }
        if was_black {
            self.wake();
        }
    }

    /// The lit channels, spread anew: what they carried from before belongs to a light that is gone.
    fn wake(&mut self) {
        let channels = self.modulators.iter_mut().zip(&self.densities);
        let lit = channels.filter(|(_, density)| **density != Density::NONE);
        for ((modulator, &density), place) in lit.zip(0..) {
            modulator.wake(density, Self::phase(place));
        }
    }

    /// `place / N` of a pulse.
    const fn phase(place: u32) -> u32 {
        place.wrapping_mul(const { ((1 << 32) / (N as u64)) as u32 })
    }

    /// The next 32 ticks of every channel, the earliest in the most significant bit.
    #[must_use]
    pub fn next_words(&mut self) -> [u32; N] {
        let mut words = [0; N];
        self.fill(words.each_mut().map(core::slice::from_mut));
        words
    }

    /// The next ticks of every channel, 32 a word, a buffer a channel.
    pub fn fill(&mut self, buffers: [&mut [u32]; N]) {
        let channels = self
            .modulators
            .iter_mut()
            .zip(&self.densities)
            .zip(&mut self.noise);
        for (((modulator, &density), noise), words) in channels.zip(buffers) {
            modulator.fill(density, words, noise);
        }
    }

    /// Where the Level is now.
    #[must_use]
    pub fn level(&self) -> Level {
        let [level] = self.level.values();
        Level::from_bits(level as u16)
    }

    /// Where the shares are now.
    #[must_use]
    pub fn shares(&self) -> [Share; N] {
        self.shares.values().map(Share::from_bits)
    }

    /// The densities that the last control step made.
    pub const fn densities(&self) -> &[Density; N] {
        &self.densities
    }

    /// The modulators as they stand, a channel each.
    pub const fn modulators(&self) -> &[Modulator; N] {
        &self.modulators
    }

    /// Whether the last control step left every channel dark.
    #[must_use]
    pub fn is_black(&self) -> bool {
        self.densities
            .iter()
            .all(|&density| density == Density::NONE)
    }

    /// Control steps to arrival; 0 when standing still.
    pub const fn remaining(&self) -> u32 {
        self.level.remaining()
    }

    /// Holds the fade where it is until [`Luminaire::resume`] or the next target.
    pub const fn pause(&mut self) {
        self.level.pause();
        self.shares.pause();
    }

    /// Goes on after a pause.
    pub const fn resume(&mut self) {
        self.level.resume();
        self.shares.resume();
    }
}
