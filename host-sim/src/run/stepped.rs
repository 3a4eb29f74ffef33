//! The core luminaire behind one face for any number of channels.

use milliglow::density::Modulator;
use milliglow::fade::Pace;
use milliglow::luminaire::{Luminaire, Target};
use milliglow::operating::Table;
use milliglow::{Level, Recipe, Share};

use super::driven::Stand;
use super::tables::{configuration, tables};
use crate::description::Description;

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
    /// How each channel works since the last control step.
    fn stands(&self) -> Vec<Stand>;
}

impl<const N: usize> Stepped for Luminaire<'_, N> {
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

    fn stands(&self) -> Vec<Stand> {
        let states = self.densities().iter().zip(self.modulators());
        let places = self.row_numbers().into_iter().zip(self.lags());
        states
            .zip(places)
            .map(|((&density, modulator), (row, lag))| Stand {
                density,
                row: row.into(),
                late_ticks: lag as u8,
                charge: charge(modulator),
            })
            .collect()
    }
}

fn charge(modulator: &Modulator) -> Option<u32> {
    match modulator {
        Modulator::FirstOrder(first_order) if first_order.owed() == 0 => Some(first_order.charge()),
        _ => None,
    }
}

self_cell::self_cell!(
    /// A luminaire with the operating tables that it borrows.
    struct Owning {
        owner: Vec<Table>,
        #[not_covariant]
        dependent: Borrowing,
    }
);

type Borrowing<'t> = Box<dyn Stepped + 't>;

impl Stepped for Owning {
    fn fade_to(&mut self, level: Level, shares: &[Share], pace: Pace) {
        self.with_dependent_mut(|_, luminaire| luminaire.fade_to(level, shares, pace));
    }

    fn control_step(&mut self) {
        self.with_dependent_mut(|_, luminaire| luminaire.control_step());
    }

    fn fill(&mut self, buffers: &mut [&mut [u32]]) {
        self.with_dependent_mut(|_, luminaire| luminaire.fill(buffers));
    }

    fn level(&self) -> Level {
        self.with_dependent(|_, luminaire| luminaire.level())
    }

    fn shares(&self) -> Vec<Share> {
        self.with_dependent(|_, luminaire| luminaire.shares())
    }

    fn stands(&self) -> Vec<Stand> {
        self.with_dependent(|_, luminaire| luminaire.stands())
    }
}

/// The core luminaire that a description asks for, in the dark.
pub fn luminaire(description: &Description) -> Box<dyn Stepped> {
    macro_rules! of_channels {
        ($tables:expr, $($n:literal)*) => {
            match description.channels.len() {
                $($n => boxed::<$n>(description, $tables),)*
                n => unreachable!("a description has 1 to 16 channels, not {n}"),
            }
        };
    }
    Box::new(Owning::new(
        tables(description),
        |tables| of_channels!(tables, 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16),
    ))
}

fn boxed<'t, const N: usize>(description: &Description, tables: &'t [Table]) -> Borrowing<'t> {
    let configuration = configuration::<N>(description, tables);
    Box::new(Luminaire::new(&configuration).expect("a validated seed"))
}
