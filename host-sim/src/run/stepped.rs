//! The core luminaire behind one face for any number of channels.

use milliglow::density::{Density, DitherWidth, Modulation, Modulator};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Level, Recipe, Share};

use super::asked::core_curve;
use crate::description::{Description, Modulation as Chosen};

/// A core luminaire whose channel count is known at run time.
pub trait Stepped {
    /// Sends it to a Level and shares, one a channel.
    fn fade_to(&mut self, level: Level, shares: &[Share], pace: Pace);
    /// One control step.
    fn control_step(&mut self);
    /// Draws the next words of every channel, `buffers[channel]` each.
    fn fill(&mut self, buffers: &mut [&mut [u32]]);
    /// Where the Level is.
    fn level(&self) -> Level;
    /// Where the shares are.
    fn shares(&self) -> Vec<Share>;
    /// The densities of the last control step.
    fn densities(&self) -> &[Density];
    /// The charge that each modulator carries; none for those that are not of first order without dither.
    fn charges(&self) -> Vec<Option<u32>>;
}

impl<const N: usize> Stepped for Luminaire<N> {
    fn fade_to(&mut self, level: Level, shares: &[Share], pace: Pace) {
        let recipe = Recipe::new(std::array::from_fn(|k| shares[k]));
        Luminaire::fade_to(self, &Target { level, recipe }, pace);
    }

    fn control_step(&mut self) {
        Luminaire::control_step(self);
    }

    fn fill(&mut self, buffers: &mut [&mut [u32]]) {
        let mut buffers = buffers.iter_mut();
        Luminaire::fill(
            self,
            std::array::from_fn(|_| &mut **buffers.next().expect("a buffer a channel")),
        );
    }

    fn level(&self) -> Level {
        Luminaire::level(self)
    }

    fn shares(&self) -> Vec<Share> {
        Luminaire::shares(self).to_vec()
    }

    fn densities(&self) -> &[Density] {
        Luminaire::densities(self)
    }

    fn charges(&self) -> Vec<Option<u32>> {
        let charge = |modulator: &Modulator| match modulator {
            Modulator::FirstOrder(first_order) => Some(first_order.charge()),
            _ => None,
        };
        self.modulators().iter().map(charge).collect()
    }
}

/// The core luminaire that a description asks for, in the dark.
pub fn luminaire(description: &Description) -> Box<dyn Stepped> {
    macro_rules! of_channels {
        ($($n:literal)*) => {
            match description.channels.len() {
                $($n => boxed::<$n>(description),)*
                n => unreachable!("a description has 1 to 16 channels, not {n}"),
            }
        };
    }
    of_channels!(1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16)
}

fn boxed<const N: usize>(description: &Description) -> Box<dyn Stepped> {
    let configuration = Configuration::<N> {
        curve: core_curve(description.curve),
        modulation: std::array::from_fn(|k| modulation(description.channels[k].modulation)),
        seed: description.seed,
    };
    Box::new(Luminaire::new(&configuration).expect("a validated seed"))
}

fn modulation(chosen: Chosen) -> Modulation {
    match chosen {
        Chosen::FirstOrder => Modulation::FirstOrder,
        Chosen::Dithered { width_shift } => {
            Modulation::Dithered(DitherWidth::new(width_shift).expect("a validated width"))
        }
        Chosen::SecondOrder => Modulation::SecondOrder,
    }
}
