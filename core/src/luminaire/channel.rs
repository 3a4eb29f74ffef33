//! One channel: its row, its modulator, and what is on its way out.

use crate::Light;
use crate::density::{Density, Held, Lfsr32, Modulator, Stretch};
use crate::fraction::wide_product;
use crate::operating::{Row, Settling, Table};

/// The state of a channel but for its share and its density: 32 bytes on a 32-bit target.
#[derive(Clone, Debug)]
pub(super) struct Channel<'t> {
    table: &'t Table,
    pub(super) modulator: Modulator,
    noise: Lfsr32,
    /// The row in force, and in the upper half the one that was left last.
    rows: u8,
    /// Words to come while a set point settles.
    settling: u8,
    /// Ticks that the lag holds back, the earliest in the most significant bit.
    late: u16,
}

impl<'t> Channel<'t> {
    pub(super) const fn new(table: &'t Table, modulator: Modulator, noise: Lfsr32) -> Self {
        Self {
            table,
            modulator,
            noise,
            rows: 0,
            settling: 0,
            late: 0,
        }
    }

    /// The number of the row that this light needs.
    pub(super) const fn row_for(&self, light: Light) -> u8 {
        self.table.row(light, self.rows & 15)
    }

    /// The row in force.
    pub(super) const fn row(&self) -> &'t Row {
        self.table.at(self.rows & 15)
    }

    /// Its number.
    pub(super) const fn row_number(&self) -> u8 {
        self.rows & 15
    }

    /// Works in the row of this light from now on; the density that gives the light there.
    #[inline(always)]
    pub(super) fn enter_own(&mut self, light: Light) -> Density {
        match self.table.held(self.rows & 15, light) {
            Some(row) => row.density(light),
            None => self.leave(light),
        }
    }

    #[cold]
    #[inline(never)]
    fn leave(&mut self, light: Light) -> Density {
        self.enter(self.row_for(light), light)
    }

    /// Works in a row from now on; the density that gives the light there.
    #[inline(always)]
    pub(super) fn enter(&mut self, row: u8, light: Light) -> Density {
        let density = self.table.at(row).density(light);
        if row != self.rows & 15 {
            self.change(row);
        }
        density
    }

    /// Rare, and dear: about 1100 cycles of a Cortex-M0 where the range changes. The charge is carried over as light: no row's decisions are worth those of another.
    #[cold]
    #[inline(never)]
    fn change(&mut self, row: u8) {
        let (from, to) = (self.row(), self.table.at(row));
        let on_the_way = i64::from(self.late.count_ones()) << 32;
        let in_decisions = |row: &Row| on_the_way >> row.decision().stretch.shift();
        // What the lag holds back will shine in the new row.
        let charge = self.modulator.charge().saturating_add(in_decisions(from));
        let charge = from.charge_in(to, charge);
        self.modulator
            .set_charge(charge.saturating_sub(in_decisions(to)));
        self.rows = (row & 15) | self.rows << 4;
        if from.range() != to.range() {
            self.settling = match self.table.settling() {
                Settling::AtOnce => 0,
                Settling::Dark { words } | Settling::Booked { words, .. } => words,
            };
        }
    }

    /// The next ticks, 32 a word, `lag` ticks late. Out of line, as it would take its size in flash once a channel.
    #[inline(never)]
    pub(super) fn fill(&mut self, density: Density, lag: u32, words: &mut [u32]) {
        let settling = usize::from(self.settling).min(words.len());
        let Some((unsettled, settled)) = words.split_at_mut_checked(settling) else {
            return;
        };
        if settling > 0 {
            self.settle(density, unsettled);
        }
        let decision = self.row().decision();
        self.modulator
            .fill_as(density, decision, settled, &mut self.noise);
        if lag > 0 {
            self.hold_back(lag, words);
        }
    }

    /// The same by the fast profile, if the channel is of first order and its set point stands. With a lag the previous words are not those
    /// that were drawn.
    #[inline(never)]
    pub(super) fn fill_held(
        &mut self,
        density: Density,
        lag: u32,
        held: &mut Held,
        previous: &[u32],
        words: &mut [u32],
    ) {
        let decision = self.row().decision();
        match &mut self.modulator {
            Modulator::FirstOrder(modulator) if self.settling == 0 => {
                let previous = if lag > 0 { &[] } else { previous };
                held.fill_as(modulator, density, decision, previous, words);
                if lag > 0 {
                    self.hold_back(lag, words);
                }
            }
            _ => {
                held.forget();
                self.fill(density, lag, words);
            }
        }
    }

    /// Whether the next so many ticks hold pulses of one tick that are rare and known.
    #[inline(always)]
    pub(super) fn is_sparse(
        &self,
        density: Density,
        lag: u32,
        held: &mut Held,
        ticks: u32,
    ) -> bool {
        match &self.modulator {
            Modulator::FirstOrder(modulator) => {
                lag == 0
                    && self.settling == 0
                    && self.row().decision().stretch == Stretch::One
                    && held.is_sparse(modulator, density, ticks)
            }
            _ => false,
        }
    }

    /// These pulses.
    #[inline(always)]
    pub(super) fn scatter(
        &mut self,
        density: Density,
        held: &mut Held,
        ticks: u32,
        pulse: impl FnMut(u32),
    ) {
        if let Modulator::FirstOrder(modulator) = &mut self.modulator {
            held.scatter(modulator, density, ticks, pulse);
        }
    }

    /// Words while the set point moves. At full density nothing could be made up for.
    #[cold]
    fn settle(&mut self, density: Density, words: &mut [u32]) {
        self.settling -= words.len() as u8;
        let row = self.row();
        let booked = match self.table.settling() {
            Settling::AtOnce => 0,
            Settling::Dark { .. } => {
                self.modulator
                    .fill_as(Density::NONE, row.decision(), words, &mut self.noise);
                let words = wide_product(density.to_bits(), words.len() as u32);
                (words << (5 - row.decision().stretch.shift())).cast_signed()
            }
            Settling::Booked { ticks, .. } => {
                self.modulator
                    .fill_as(density, row.decision(), words, &mut self.noise);
                let asked = wide_product(density.to_bits(), ticks.into());
                let asked = (asked >> row.decision().stretch.shift()).cast_signed();
                let given = self.table.at(self.rows >> 4).light_in(row, asked);
                if self.settling == 0 { asked - given } else { 0 }
            }
        };
        if booked != 0 && density != Density::FULL {
            self.modulator.owe(booked);
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
