//! The core luminaire behind one face for any number of channels.

use std::any::Any;

use milliglow::density::Modulator;
use milliglow::fade::Pace;
use milliglow::luminaire::{Luminaire, Target};
use milliglow::operating::{Row, Table};
use milliglow::{Level, Share};

use super::colours::{Colour, Colours, colours, core_recipe};
use super::driven::Stand;
use super::second_order_lanes::Held;
use super::tables::{configuration, tables};
use crate::description::Description;

/// A core luminaire whose channel count is known at run time.
pub trait Stepped {
    /// Sends it to a Level and shares, one a channel.
    fn fade_to(&mut self, level: Level, shares: &[Share], pace: Pace);
    /// Sends it to a Level and a recipe of its description, along its knots where it has some.
    fn fade_to_recipe(&mut self, level: Level, recipe: usize, pace: Pace);
    /// Sends it to a Level and through the recipes of a fade of its description's script.
    fn fade_through(&mut self, level: Level, fade: usize);
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
    /// Each channel of second order as it holds its density; none for the others.
    fn held(&self) -> Vec<Option<Held>>;
}

/// A luminaire and the colours of its description.
struct Coloured<'t, const N: usize> {
    luminaire: Luminaire<'t, N>,
    colours: &'t Colours<N>,
}

impl<const N: usize> Stepped for Coloured<'_, N> {
    fn fade_to(&mut self, level: Level, shares: &[Share], pace: Pace) {
        let recipe = core_recipe(shares);
        self.luminaire.fade_to(&Target { level, recipe }, pace);
    }

    fn fade_to_recipe(&mut self, level: Level, recipe: usize, pace: Pace) {
        match &self.colours.recipes[recipe] {
            &Colour::Plain(recipe) => self.luminaire.fade_to(&Target { level, recipe }, pace),
            Colour::Knots(knots) => self.luminaire.fade_along(level, knots.borrowed(), pace),
        }
    }

    fn fade_through(&mut self, level: Level, fade: usize) {
        if let Some(path) = &self.colours.paths[fade] {
            self.luminaire.fade_through(level, path);
        }
    }

    fn control_step(&mut self) {
        self.luminaire.control_step();
    }

    fn fill(&mut self, buffers: &mut [&mut [u32]]) {
        let mut buffers = buffers.iter_mut();
        let next = |_| &mut **buffers.next().expect("a buffer a channel");
        self.luminaire.fill(std::array::from_fn(next));
    }

    fn level(&self) -> Level {
        self.luminaire.level()
    }

    fn shares(&self) -> Vec<Share> {
        self.luminaire.shares().to_vec()
    }

    fn stands(&self) -> Vec<Stand> {
        let luminaire = &self.luminaire;
        let states = luminaire
            .densities()
            .into_iter()
            .zip(luminaire.modulators());
        let places = luminaire.row_numbers().into_iter().zip(luminaire.lags());
        states
            .zip(places)
            .map(|((density, modulator), (row, lag))| Stand {
                density,
                row: row.into(),
                late_ticks: lag as u8,
                charge: charge(modulator),
            })
            .collect()
    }

    fn held(&self) -> Vec<Option<Held>> {
        let luminaire = &self.luminaire;
        let states = luminaire
            .densities()
            .into_iter()
            .zip(luminaire.modulators());
        let places = luminaire.rows().into_iter().zip(luminaire.lags());
        let held = |((density, modulator), (row, late_ticks)): ((_, &Modulator), (&Row, _))| {
            let Modulator::SecondOrder(modulator) = modulator else {
                return None;
            };
            Some(Held {
                modulator: modulator.clone(),
                density,
                decision: row.decision(),
                late_ticks,
            })
        };
        states.zip(places).map(held).collect()
    }
}

fn charge(modulator: &Modulator) -> Option<u32> {
    match modulator {
        Modulator::FirstOrder(first_order) if first_order.owed() == 0 => Some(first_order.charge()),
        _ => None,
    }
}

self_cell::self_cell!(
    /// A luminaire with the operating tables and colours that it borrows.
    struct Owning {
        owner: Borrowed,
        #[not_covariant]
        dependent: Borrowing,
    }
);

/// The operating tables, and the colours: `Colours<N>` for N channels.
struct Borrowed {
    tables: Vec<Table>,
    colours: Box<dyn Any>,
}

type Borrowing<'t> = Box<dyn Stepped + 't>;

impl Stepped for Owning {
    fn fade_to(&mut self, level: Level, shares: &[Share], pace: Pace) {
        self.with_dependent_mut(|_, luminaire| luminaire.fade_to(level, shares, pace));
    }

    fn fade_to_recipe(&mut self, level: Level, recipe: usize, pace: Pace) {
        self.with_dependent_mut(|_, luminaire| luminaire.fade_to_recipe(level, recipe, pace));
    }

    fn fade_through(&mut self, level: Level, fade: usize) {
        self.with_dependent_mut(|_, luminaire| luminaire.fade_through(level, fade));
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

    fn held(&self) -> Vec<Option<Held>> {
        self.with_dependent(|_, luminaire| luminaire.held())
    }
}

/// Calls a function made for as many channels as the description has.
macro_rules! of_channels {
    ($description:expr, $made:ident $arguments:tt) => {
        of_channels!($description, $made $arguments, 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16)
    };
    ($description:expr, $made:ident $arguments:tt, $($n:literal)*) => {
        match $description.channels.len() {
            $($n => $made::<$n> $arguments,)*
            n => unreachable!("a description has 1 to 16 channels, not {n}"),
        }
    };
}

/// The core luminaire that a description asks for, in the dark.
pub fn luminaire(description: &Description) -> Box<dyn Stepped> {
    let borrowed = Borrowed {
        tables: tables(description),
        colours: of_channels!(description, any_colours(description)),
    };
    Box::new(Owning::new(borrowed, |borrowed| {
        of_channels!(description, boxed(description, borrowed))
    }))
}

fn any_colours<const N: usize>(description: &Description) -> Box<dyn Any> {
    Box::new(colours::<N>(description))
}

fn boxed<'t, const N: usize>(description: &Description, borrowed: &'t Borrowed) -> Borrowing<'t> {
    let configuration = configuration::<N>(description, &borrowed.tables);
    let colours = borrowed.colours.downcast_ref::<Colours<N>>();
    Box::new(Coloured {
        luminaire: Luminaire::new(&configuration).expect("a validated seed"),
        colours: colours.expect("colours of as many channels"),
    })
}
