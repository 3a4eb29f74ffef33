//! The operating tables of a luminaire, each once.

use milliglow::operating::Table;

use crate::description::{Channel, Description, Modulation};
use crate::run::{RowNumbers, row_numbers, table};

/// What several channels can share.
pub(super) struct Shared<T> {
    /// What it is.
    pub(super) value: T,
    /// The channels that it serves.
    pub(super) channels: Vec<usize>,
}

/// Rows, and the modulation that they are made for.
pub(super) struct Rows {
    pub(super) numbers: Vec<RowNumbers>,
    pub(super) modulation: Modulation,
}

/// The tables of channels whose driver is not an ideal one of one range.
pub(super) fn tables(description: &Description) -> Vec<Shared<Rows>> {
    let mut found: Vec<Shared<Rows>> = Vec::new();
    let plain = |channel: &Channel| table(description, channel) == Table::PLAIN;
    let channels = description.channels.iter().enumerate();
    for (index, channel) in channels.filter(|(_, channel)| !plain(channel)) {
        let rows = Rows {
            numbers: row_numbers(description, channel),
            modulation: channel.modulation,
        };
        let same = |other: &&mut Shared<Rows>| {
            other.value.numbers == rows.numbers && other.value.modulation == rows.modulation
        };
        match found.iter_mut().find(same) {
            Some(shared) => shared.channels.push(index),
            None => found.push(Shared {
                value: rows,
                channels: vec![index],
            }),
        }
    }
    found
}

/// The modulations, each once.
pub(super) fn modulations(description: &Description) -> Vec<Shared<Modulation>> {
    let mut found: Vec<Shared<Modulation>> = Vec::new();
    for (index, channel) in description.channels.iter().enumerate() {
        let value = channel.modulation;
        match found.iter_mut().find(|shared| shared.value == value) {
            Some(shared) => shared.channels.push(index),
            None => found.push(Shared {
                value,
                channels: vec![index],
            }),
        }
    }
    found
}

/// Units of a range ratio.
pub(super) const RATIO_UNITS: u32 = 1 << 20;

/// A number of parts over a power of two.
pub(super) fn lowest_terms(above: u32, below: u32) -> (u32, u32) {
    let shift = above.trailing_zeros().min(below.trailing_zeros());
    (above >> shift, below >> shift)
}
