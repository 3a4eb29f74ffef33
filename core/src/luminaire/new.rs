//! A luminaire of each kind of channel from its configuration.

use super::lamp::Lamp;
use super::rowed::RowedChannel;
use super::stream::AnyStream;
use super::{AnyModulation, Configuration, FirstOrderOnly, FirstOrderPlain, Luminaire};
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
        Self::spread(configuration, const { part(N as u32) })
    }

    /// The same where only the first `channels` are there, 1 to N (others are taken as these), and the further ones stay dark:
    /// bit for bit the streams of a luminaire of so many. Divides; for set-up.
    ///
    /// # Errors
    /// As [`Luminaire::new`].
    pub const fn of_first(
        configuration: &Configuration<'t, N>,
        channels: usize,
    ) -> Result<Self, Error> {
        let used = if channels > N { N } else { channels };
        Self::spread(configuration, part(used as u32))
    }

    const fn spread(configuration: &Configuration<'t, N>, later: u32) -> Result<Self, Error> {
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
                modulator: Modulator::new(modulation, later.wrapping_mul(k as u32)),
                noise: first.branch(k as u32),
            };
            lamps[k] = Lamp::new(RowedChannel::new(table, stream));
            k += 1;
        }
        Ok(Self::of(configuration, later, lamps))
    }
}

impl<'t, const N: usize> Luminaire<'t, N, FirstOrderOnly<'t>> {
    /// A luminaire of first order in the dark: it takes less flash and RAM than [`Luminaire::new`], and gives the same bits.
    ///
    /// # Errors
    /// [`Error::Modulation`] for any other, [`Error::Correction`] if the table of a channel corrects edges for another.
    pub const fn first_order(configuration: &Configuration<'t, N>) -> Result<Self, Error> {
        let later = const { part(N as u32) };
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
            let stream = FirstOrder::new(later.wrapping_mul(k as u32));
            lamps[k] = Lamp::new(RowedChannel::new(table, stream));
            k += 1;
        }
        Ok(Self::of(configuration, later, lamps))
    }
}

impl<'t, const N: usize> Luminaire<'t, N, FirstOrderPlain> {
    /// A luminaire of first order and without operating tables in the dark: it takes the least flash and RAM, and gives the same bits as [`Luminaire::new`].
    ///
    /// # Errors
    /// [`Error::Modulation`] for any other modulation, [`Error::Operating`] for a table but [`Table::PLAIN`].
    pub const fn plain(configuration: &Configuration<'t, N>) -> Result<Self, Error> {
        let later = const { part(N as u32) };
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
            let stream = FirstOrder::new(later.wrapping_mul(k as u32));
            lamps[k] = Lamp::new(FirstOrderPlain(stream));
            k += 1;
        }
        Ok(Self::of(configuration, later, lamps))
    }
}

impl<'t, const N: usize, C> Luminaire<'t, N, C> {
    const fn of(configuration: &Configuration<'t, N>, later: u32, lamps: [Lamp<C>; N]) -> Self {
        Self {
            curve: configuration.curve,
            lowest: configuration.lowest,
            range_choice: configuration.range_choice,
            course: Course::STILL,
            level: Line::at(0),
            shares_move: false,
            follows: None,
            later,
            lamps,
        }
    }
}

/// 2^32 over a number, rounded down; 0 for 1, and for 0.
const fn part(number: u32) -> u32 {
    match u32::MAX.checked_div(number) {
        Some(part) => part.wrapping_add(number.is_power_of_two() as u32),
        None => 0,
    }
}
