//! What the values of a receiver mean.

use super::{Role, Slots};
use crate::bus::Colour;
use crate::{Level, Recipe, Share};

impl<const N: usize> Slots<N> {
    /// Where each value is, 65 535 for full, in the order of the rows.
    #[must_use]
    pub fn values(&self) -> [u16; N] {
        self.places().map(|value| (value >> 16) as u16)
    }

    /// The Level; full if no row holds one.
    #[must_use]
    pub fn level(&self) -> Level {
        Level::from_bits(self.of(Role::Level).unwrap_or(u16::MAX))
    }

    /// The shares of M channels; none for a channel without a row.
    #[must_use]
    pub fn recipe<const M: usize>(&self) -> Recipe<M> {
        let mut shares = [Share::NONE; M];
        for (row, place) in self.configuration.rows.iter().zip(self.places()) {
            if let Role::Channel(index) = row.role
                && let Some(share) = shares.get_mut(usize::from(index))
            {
                *share = Share::from_bits(place);
            }
        }
        Recipe::new(shares)
    }

    /// The colour, if rows hold one: x and y before a colour temperature.
    #[must_use]
    pub fn colour(&self) -> Option<Colour> {
        if let (Some(x), Some(y)) = (self.of(Role::X), self.of(Role::Y)) {
            return Some(Colour::Chromaticity { x, y });
        }
        let values = self.values();
        let mut rows = self.configuration.rows.iter().zip(values);
        rows.find_map(|(row, value)| match row.role {
            Role::Mirek { coolest, warmest } => {
                let range = u32::from(warmest.saturating_sub(coolest));
                let above = (range * u32::from(value) + 0x8000) >> 16;
                Some(Colour::Mirek(coolest + above as u16))
            }
            _ => None,
        })
    }

    fn of(&self, role: Role) -> Option<u16> {
        let mut rows = self.configuration.rows.iter().zip(self.values());
        rows.find_map(|(row, value)| (row.role == role).then_some(value))
    }
}
