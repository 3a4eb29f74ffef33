//! A driver behind its stream, on a supply that may not stand still, and the light that its LEDs make of it.

use crate::optics::drivers::{DecayingLight, Driver, Gated, Supply};

/// A gated driver with its supply, and the time.
#[derive(Clone, Debug)]
pub struct Supplied {
    pub(super) gated: Gated,
    pub(super) decaying: DecayingLight,
    pub(super) line_sensitivity: f64,
    pub(super) supply: Supply,
    pub(super) load: f64,
    pub(super) tick_s: f64,
    pub(super) ticks: u64,
    /// Whether the supply leaves the light alone.
    pub(super) is_still: bool,
}

impl Supplied {
    /// The supply carries another load from now on: the light of the luminaire over its full.
    pub fn load(&mut self, load: f64) {
        self.load = load;
    }

    /// The charge of the next tick, in ticks at full current.
    #[inline]
    pub fn tick(&mut self, on: bool) -> f64 {
        let charge = self.gated.tick(on);
        if self.is_still {
            return charge;
        }
        let begin_s = self.ticks as f64 * self.tick_s;
        self.ticks += 1;
        let end_s = self.ticks as f64 * self.tick_s;
        let factor = self
            .supply
            .factor(self.line_sensitivity, self.load, begin_s, end_s);
        charge * factor
    }

    /// The light of the next tick over that of an unbroken 1 at the highest set point, at one that gives `full` of it: what
    /// its charge gives at once, and what comes late of the charges before.
    #[inline]
    pub fn light(&mut self, on: bool, full: f64) -> f64 {
        let charge = self.tick(on) * full;
        self.decaying.tick(charge)
    }

    /// Whether it gives nothing until the stream's next 1.
    #[must_use]
    pub fn is_dark(&self) -> bool {
        self.gated.is_dark() && self.decaying.is_prompt()
    }

    /// So many ticks of a stream of zeros pass, in which it [is dark](Self::is_dark).
    pub fn skip(&mut self, ticks: u64) {
        self.ticks += ticks;
    }

    /// As if every tick had always given this light, as far as light decays.
    pub fn settle(&mut self, light: f64) {
        self.decaying.settle(light);
    }

    /// The charge of the next ticks, 32 a word: all of their light, whenever it comes. *Cost*: counts where edges add up and the supply stands still; else every tick.
    pub fn words(&mut self, words: &[u32]) -> f64 {
        if self.is_still {
            return self.gated.words(words);
        }
        let bits = words
            .iter()
            .flat_map(|word| (0..32).map(move |k| word << k >> 31 == 1));
        bits.map(|on| self.tick(on)).sum()
    }
}

/// A driver behind a stream, whatever becomes of its pulses.
pub(super) fn behind(driver: &Driver, tick_s: f64, stretch: u8) -> Gated {
    Gated::whatever_the_rise(driver, tick_s, stretch.into()).expect("a validated tick")
}
