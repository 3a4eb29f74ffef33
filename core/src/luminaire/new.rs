//! A luminaire of each kind of channel from its configuration.

use super::lamp::Lamp;
use super::rowed::RowedChannel;
use super::stream::AnyStream;
use super::{AnyModulation, Configuration, FirstOrderOnly, FirstOrderPlain, Luminaire, phase};
use crate::Error;
use crate::density::{FirstOrder, Lfsr32, Modulation, Modulator};
use crate::fade::{Course, Line};
use crate::operating::Table;

impl<'t, const N: usize> Luminaire<'t, N> {
    /// A luminaire in the dark.
    ///
    /// # Errors
    /// [`Error::Seed`] for a seed of 0, [`Error::Correction`] if the table of a channel corrects edges for another modulation.
    pub const fn new(configuration: &Configuration<'t, N>) -> Result<Self, Error> {
        let Ok(first) = Lfsr32::new(configuration.seed) else {
            return Err(Error::Seed);
        };
        let mut lamps: [Lamp<AnyModulation<'t>>; N] = [const {
            let stream = AnyStream {
                modulator: Modulator::new(Modulation::FirstOrder, 0),
                noise: crate::constant!(Lfsr32::new(1)),
            };
            Lamp::new(RowedChannel::new(&Table::PLAIN, stream))
        }; N];
        let mut k = 0;
        while k < N {
            let (table, modulation) = (configuration.operating[k], configuration.modulation[k]);
            if !table.suits(modulation) {
                return Err(Error::Correction);
            }
            let stream = AnyStream {
                modulator: Modulator::new(modulation, phase::<N>(k as u32)),
                noise: first.branch(k as u32),
            };
            lamps[k] = Lamp::new(RowedChannel::new(table, stream));
            k += 1;
        }
        Ok(Self::of(configuration, lamps))
    }
}

impl<'t, const N: usize> Luminaire<'t, N, FirstOrderOnly<'t>> {
    /// A luminaire of first order in the dark: it takes less flash and RAM than [`Luminaire::new`], and gives the same bits.
    ///
    /// # Errors
    /// [`Error::Modulation`] for any other, [`Error::Correction`] if the table of a channel corrects edges for another.
    pub const fn first_order(configuration: &Configuration<'t, N>) -> Result<Self, Error> {
        let mut lamps: [Lamp<FirstOrderOnly<'t>>; N] =
            [const { Lamp::new(RowedChannel::new(&Table::PLAIN, FirstOrder::new(0))) }; N];
        let mut k = 0;
        while k < N {
            let (table, modulation) = (configuration.operating[k], configuration.modulation[k]);
            if !matches!(modulation, Modulation::FirstOrder) {
                return Err(Error::Modulation);
            }
            if !table.suits(modulation) {
                return Err(Error::Correction);
            }
            let stream = FirstOrder::new(phase::<N>(k as u32));
            lamps[k] = Lamp::new(RowedChannel::new(table, stream));
            k += 1;
        }
        Ok(Self::of(configuration, lamps))
    }
}

impl<'t, const N: usize> Luminaire<'t, N, FirstOrderPlain> {
    /// A luminaire of first order and without operating tables in the dark: it takes the least flash and RAM, and gives the same bits as [`Luminaire::new`].
    ///
    /// # Errors
    /// [`Error::Modulation`] for any other modulation, [`Error::Operating`] for a table but [`Table::PLAIN`].
    pub const fn plain(configuration: &Configuration<'t, N>) -> Result<Self, Error> {
        let mut lamps: [Lamp<FirstOrderPlain>; N] =
            [const { Lamp::new(FirstOrderPlain(FirstOrder::new(0))) }; N];
        let mut k = 0;
        while k < N {
            if !matches!(configuration.modulation[k], Modulation::FirstOrder) {
                return Err(Error::Modulation);
            }
            if !configuration.operating[k].is_plain() {
                return Err(Error::Operating);
            }
            let stream = FirstOrder::new(phase::<N>(k as u32));
            lamps[k] = Lamp::new(FirstOrderPlain(stream));
            k += 1;
        }
        Ok(Self::of(configuration, lamps))
    }
}

impl<'t, const N: usize, C> Luminaire<'t, N, C> {
    const fn of(configuration: &Configuration<'t, N>, lamps: [Lamp<C>; N]) -> Self {
        Self {
            curve: configuration.curve,
            lowest: configuration.lowest,
            range_choice: configuration.range_choice,
            course: Course::STILL,
            level: Line::at(0),
            shares_move: false,
            following: None,
            lamps,
        }
    }
}
