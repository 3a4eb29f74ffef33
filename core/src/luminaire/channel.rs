//! One channel: its row, its modulator, and what is on its way out.

use crate::Light;
use crate::density::{Density, Lfsr32, Modulator};
use crate::operating::{Row, Settling, Table};

/// The state of a channel but for its share and its density: 32 bytes on a 32-bit target.
#[derive(Clone, Debug)]
pub(super) struct Channel<'t> {
    table: &'t Table,
    pub(super) modulator: Modulator,
    noise: Lfsr32,
    row: u8,
    /// Dark words to come while a set point settles.
    pause: u8,
    /// Ticks that the lag holds back, the earliest in the most significant bit.
    late: u16,
}

impl<'t> Channel<'t> {
    pub(super) const fn new(table: &'t Table, modulator: Modulator, noise: Lfsr32) -> Self {
        Self {
            table,
            modulator,
            noise,
            row: 0,
            pause: 0,
            late: 0,
        }
    }

    /// The number of the row that this light needs.
    pub(super) const fn row_for(&self, light: Light) -> u8 {
        self.table.row(light, self.row)
    }

    /// The row in force.
    pub(super) const fn row(&self) -> &'t Row {
        self.table.at(self.row)
    }

    /// Its number.
    pub(super) const fn row_number(&self) -> u8 {
        self.row
    }

    /// Works in a row from now on; the density that gives the light there.
    pub(super) fn enter(&mut self, row: u8, light: Light) -> Density {
        let density = self.table.at(row).density(light);
        if row != self.row {
            self.change(row, density);
        }
        density
    }

    /// The charge is carried over as light: no row's decisions are worth those of another.
    #[cold]
    fn change(&mut self, row: u8, density: Density) {
        let (from, to) = (self.row(), self.table.at(row));
        let on_the_way = i64::from(self.late.count_ones()) << 32;
        let in_decisions = |row: &Row| on_the_way >> row.decision().stretch.shift();
        // What the lag holds back will shine in the new row.
        let charge = self.modulator.charge().saturating_add(in_decisions(from));
        let charge = from.charge_in(to, charge);
        self.modulator
            .set_charge(charge.saturating_sub(in_decisions(to)));
        self.row = row;
        if from.range() != to.range() {
            self.settle(from, to, density);
        }
    }

    fn settle(&mut self, from: &Row, to: &Row, density: Density) {
        match self.table.settling() {
            Settling::AtOnce => {}
            Settling::Dark { words } => self.pause = words,
            Settling::Booked { ticks } => {
                let asked = (density.exact() * i64::from(ticks)) >> to.decision().stretch.shift();
                self.modulator.owe(asked - from.light_in(to, asked));
            }
        }
    }

    /// The next ticks, 32 a word, `lag` ticks late.
    pub(super) fn fill(&mut self, density: Density, lag: u32, words: &mut [u32]) {
        let decision = self.row().decision();
        let pause = usize::from(self.pause).min(words.len());
        let Some((dark, lit)) = words.split_at_mut_checked(pause) else {
            return;
        };
        if pause > 0 {
            self.darken(density, dark);
        }
        self.modulator
            .fill_as(density, decision, lit, &mut self.noise);
        if lag > 0 {
            self.hold_back(lag, words);
        }
    }

    /// Dark words whose light is owed; at full density nothing could be given on top.
    fn darken(&mut self, density: Density, words: &mut [u32]) {
        let decision = self.row().decision();
        self.pause -= words.len() as u8;
        self.modulator
            .fill_as(Density::NONE, decision, words, &mut self.noise);
        if density != Density::FULL {
            let decisions = words.len() as i64 * i64::from(decision.stretch.decisions_a_word());
            self.modulator.owe(density.exact() * decisions);
        }
    }

    /// A plain delay of 1 to 15 ticks.
    fn hold_back(&mut self, lag: u32, words: &mut [u32]) {
        let mut late = u32::from(self.late) << 16;
        for word in words {
            let held = *word << (32 - lag);
            *word = (*word >> lag) | late;
            late = held;
        }
        self.late = (late >> 16) as u16;
    }

    /// The lag of a channel whose phase is this part of a turn, so that edges of channels in long decisions do not coincide.
    pub(super) const fn lag(&self, phase: u32) -> u32 {
        ((phase as u64) << self.table.longest().shift() >> 32) as u32
    }
}
