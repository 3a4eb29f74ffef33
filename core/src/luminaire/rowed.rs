//! A channel with an operating table: its row, its modulator, and what is on its way out.

use super::operate::Operate;
use super::stream::Stream;
use crate::Light;
use crate::density::{Density, Held, Stretch};
use crate::fraction::wide_product;
use crate::operating::{Placed, Row, Settling, Table};

/// The state of a channel but for its share and its density: 12 bytes on a 32-bit target, and its stream's.
#[derive(Clone, Debug)]
#[repr(C)]
pub struct RowedChannel<'t, S> {
    /// The row in force.
    placed: &'t Placed,
    table: &'t Table,
    stream: S,
    /// Its number, and in the upper half that of the one that was left last.
    rows: u8,
    /// Words to come while a set point settles.
    settling: u8,
    /// Ticks that the lag holds back, the earliest in the most significant bit.
    late: u16,
}

impl<'t, S> RowedChannel<'t, S> {
    pub(super) const fn new(table: &'t Table, stream: S) -> Self {
        Self {
            table,
            placed: table.placed(0),
            stream,
            rows: 0,
            settling: 0,
            late: 0,
        }
    }
}

impl<'t, S: Stream> Operate<'t> for RowedChannel<'t, S> {
    type Modulator = S::Modulator;

    #[inline(always)]
    fn enter_own(&mut self, light: Light) -> Density {
        match self.placed.density_held(light) {
            Some(density) => density,
            None => self.leave(light),
        }
    }

    fn row_for(&self, light: Light) -> u8 {
        self.table.row(light, self.row_number())
    }

    #[inline(always)]
    fn enter(&mut self, row: u8, light: Light) -> Density {
        let density = self.table.at(row).density(light);
        if row != self.row_number() {
            self.change(row);
        }
        density
    }

    fn wake(&mut self, density: Density, phase: u32) {
        self.stream.wake(density, phase);
    }

    /// Out of line, as it would take its size in flash once a channel.
    #[inline(never)]
    fn fill(&mut self, density: Density, phase: u32, words: &mut [u32]) {
        let lag = self.lag(phase);
        let settling = usize::from(self.settling).min(words.len());
        let Some((unsettled, settled)) = words.split_at_mut_checked(settling) else {
            return;
        };
        if settling > 0 {
            self.settle(density, unsettled);
        }
        let decision = self.row().decision();
        self.stream.fill_as(density, decision, settled);
        if lag > 0 {
            self.hold_back(lag, words);
        }
    }

    fn row(&self) -> &'t Row {
        &self.placed.row
    }

    fn row_number(&self) -> u8 {
        self.rows & 15
    }

    /// So that edges of channels in long decisions do not coincide.
    fn lag(&self, phase: u32) -> u32 {
        (u64::from(phase) << self.table.longest().shift() >> 32) as u32
    }

    fn modulator(&self) -> &S::Modulator {
        self.stream.modulator()
    }
}

impl<S: Stream> RowedChannel<'_, S> {
    #[cold]
    #[inline(never)]
    fn leave(&mut self, light: Light) -> Density {
        self.enter(self.row_for(light), light)
    }

    /// The charge is carried over as light: no row's decisions are worth those of another.
    #[cold]
    #[inline(never)]
    fn change(&mut self, row: u8) {
        let (from, to) = (self.row(), self.table.at(row));
        let ticks = self.late.count_ones();
        let in_decisions = |row: &Row| {
            let sixteenths = (ticks << 4) >> row.decision().stretch.shift();
            i64::from(sixteenths) << 28
        };
        // What the lag holds back will shine in the new row.
        let charge = self.stream.charge().saturating_add(in_decisions(from));
        let charge = from.charge_in(to, charge);
        self.stream
            .set_charge(charge.saturating_sub(in_decisions(to)));
        self.placed = self.table.placed(row);
        self.rows = (row & 15) | self.rows << 4;
        if from.range() != to.range() {
            self.settling = match self.table.settling() {
                Settling::AtOnce => 0,
                Settling::Dark { words } | Settling::Booked { words, .. } => words,
            };
        }
    }

    /// The next ticks by the fast profile, if the channel is of first order and its set point stands. With a lag the previous words are not those
    /// that were drawn.
    #[inline(never)]
    pub(super) fn fill_held(
        &mut self,
        density: Density,
        phase: u32,
        held: &mut Held,
        previous: &[u32],
        words: &mut [u32],
    ) {
        let (decision, lag) = (self.row().decision(), self.lag(phase));
        match self.stream.first_order_mut() {
            Some(modulator) if self.settling == 0 => {
                let previous = if lag > 0 { &[] } else { previous };
                held.fill_as(modulator, density, decision, previous, words);
                if lag > 0 {
                    self.hold_back(lag, words);
                }
            }
            _ => {
                held.forget();
                self.fill(density, phase, words);
            }
        }
    }

    /// Whether the next so many ticks hold pulses of one tick that are rare and known.
    #[inline(always)]
    pub(super) fn is_sparse(
        &self,
        density: Density,
        phase: u32,
        held: &mut Held,
        ticks: u32,
    ) -> bool {
        self.stream.first_order().is_some_and(|modulator| {
            self.lag(phase) == 0
                && self.settling == 0
                && self.row().decision().stretch == Stretch::One
                && held.is_sparse(modulator, density, ticks)
        })
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
        if let Some(modulator) = self.stream.first_order_mut() {
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
                self.stream.fill_as(Density::NONE, row.decision(), words);
                let words = wide_product(density.to_bits(), words.len() as u32);
                (words << (5 - row.decision().stretch.shift())).cast_signed()
            }
            Settling::Booked { ticks, .. } => {
                self.stream.fill_as(density, row.decision(), words);
                let asked = wide_product(density.to_bits(), ticks.into());
                let asked = (asked >> row.decision().stretch.shift()).cast_signed();
                let given = self.table.at(self.rows >> 4).light_in(row, asked);
                if self.settling == 0 { asked - given } else { 0 }
            }
        };
        if booked != 0 && density != Density::FULL {
            let owed = self.stream.charge().saturating_add(booked);
            self.stream.set_charge(owed);
        }
    }

    /// A plain delay of 1 to 15 ticks.
    fn hold_back(&mut self, lag: u32, words: &mut [u32]) {
        let late = u32::from(self.late) << 16;
        let (fours, rest) = words.as_chunks_mut();
        let late = fours.iter_mut().fold(late, |late, [a, b, c, d]| {
            let late = delay(lag, delay(lag, late, a), b);
            delay(lag, delay(lag, late, c), d)
        });
        let late = rest
            .iter_mut()
            .fold(late, |late, word| delay(lag, late, word));
        self.late = (late >> 16) as u16;
    }
}

/// Puts a word off after what is late, and gives what is late of it.
#[inline(always)]
const fn delay(lag: u32, late: u32, word: &mut u32) -> u32 {
    let held = *word << (32 - lag);
    *word = (*word >> lag) | late;
    held
}
