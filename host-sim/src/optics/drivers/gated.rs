//! A driver gated by a one-bit stream, tick by tick.

use super::any::Any;
use super::buck::Memory;
use super::charge::Charge;
use super::count::Count;
use super::edges::Edges;
use super::gate_delay::GateDelay;
use super::watch::{Blind, Drawing, Watch};
use super::{Driver, DriverError};

/// A corner of the current's curve within a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Seconds after the begin of the tick.
    pub after_s: f64,
    /// Current that makes light, over the full one.
    pub current: f64,
}

/// A driver behind its stream: bits in, charge out. Dark at first.
///
/// *Charge* is in ticks at full current: 1.0 for a tick of unbroken light. What an edge leaves behind the end of its
/// tick counts in the ticks that it falls into. *Error*: 1e-9 of a tick for [`Driver::Ideal`] and [`Driver::Slew`].
///
/// ```
/// use milliglow_sim::optics::drivers::{Driver, Gated, Slew, SlewFigures};
/// let slew = Slew::new(SlewFigures { rise_s: 200e-9, fall_s: 80e-9, ..Default::default() })?;
/// let mut gated = Gated::new(&Driver::Slew(slew), 1e-6, 1)?;
/// let pulse: f64 = [true, false, false].map(|on| gated.tick(on)).iter().sum();
/// assert!((pulse - 0.94).abs() < 1e-9);
/// # Ok::<(), milliglow_sim::optics::drivers::DriverError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Gated {
    tick_s: f64,
    delay: GateDelay,
    plant: Any,
    /// Edges that add up at this stream's shortest runs.
    edges: Option<Edges>,
    /// Ticks of a buck that were seen before.
    memory: Option<Memory>,
    drawn: f64,
}

impl Gated {
    /// Behind a stream whose runs of ones and zeros last at least `stretch` ticks of `tick_s` seconds.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for a tick outside 1 ns to 1 s or a stretch outside 1 to 1 000 000, and
    /// [`DriverError::RiseLongerThanPulse`] where a named rise time leaves no pulse its full current.
    pub fn new(driver: &Driver, tick_s: f64, stretch: u32) -> Result<Self, DriverError> {
        let gated = Self::whatever_the_rise(driver, tick_s, stretch)?;
        driver.refuse_short_pulses(tick_s * f64::from(stretch))?;
        Ok(gated)
    }

    /// As [`Gated::new`], also where no pulse reaches the full current: to show what comes of that.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for a tick outside 1 ns to 1 s or a stretch outside 1 to 1 000 000.
    pub fn whatever_the_rise(
        driver: &Driver,
        tick_s: f64,
        stretch: u32,
    ) -> Result<Self, DriverError> {
        super::error::within("tick", tick_s, 1e-9, 1.0)?;
        super::error::within("stretch", f64::from(stretch), 1.0, 1e6)?;
        let (on_s, off_s) = driver.delays();
        let edges = driver.edges();
        Ok(Self {
            tick_s,
            delay: GateDelay::new(on_s, off_s),
            plant: Any::new(driver),
            edges: edges.filter(|edges| edges.leave_whole(tick_s * f64::from(stretch))),
            memory: matches!(driver, Driver::Buck(_)).then(Memory::new),
            drawn: 0.0,
        })
    }

    /// Computes every tick anew, also those of a buck that were seen before: what the memory of a buck is held against.
    #[must_use]
    pub fn without_memory(self) -> Self {
        Self {
            memory: None,
            ..self
        }
    }

    /// Light lost at each rising edge of the stream, in ticks at full current (below 0: won): `charge = ones - loss x
    /// rising edges`. None where runs of the stated stretch, or gaps, are not whole, and one must step tick by tick.
    #[must_use]
    pub fn edge_loss(&self) -> Option<f64> {
        self.edges.map(|edges| edges.loss_s() / self.tick_s)
    }

    /// The charge of the next tick.
    #[inline]
    pub fn tick(&mut self, on: bool) -> f64 {
        if let (Some(memory), Any::Buck(plant)) = (&mut self.memory, &mut self.plant) {
            let charge = memory.tick(plant, on, self.tick_s);
            self.drawn = charge.drawn / self.tick_s;
            return charge.light / self.tick_s;
        }
        self.advance(on, &mut Blind)
    }

    /// Whether it gives and draws nothing until the stream's next 1. Said of bucks alone, from the second dark tick on.
    #[must_use]
    pub fn is_dark(&self) -> bool {
        self.memory.as_ref().is_some_and(Memory::is_dark)
    }

    /// As [`Gated::tick`]; corners of the current's curve are added to `corners`, straight lines between them. Two at one
    /// time make an edge; curves get points enough for a plot.
    pub fn trace(&mut self, on: bool, corners: &mut Vec<Corner>) -> f64 {
        if let (Some(memory), Any::Buck(plant)) = (&mut self.memory, &mut self.plant) {
            memory.leave(plant);
            self.delay.settle(plant.is_on());
        }
        self.advance(on, &mut Drawing::on(corners))
    }

    /// What the driver drew from its supply in the last tick or words, in ticks at its LEDs' full current.
    ///
    /// A linear source draws its LEDs' current, a buck the current of its closed switch, a shunted converter the power
    /// of its LEDs (their voltage over the supply's times the current: constant, so left out).
    #[must_use]
    pub fn drawn(&self) -> f64 {
        self.drawn
    }

    /// The charge of the next ticks, 32 a word, the earliest in the most significant bit.
    ///
    /// Equal to the sum of [`Gated::tick`]. *Cost*: where [`Gated::edge_loss`] is known two counts a word and the ticks of
    /// one edge a call; else every tick.
    pub fn words(&mut self, words: &[u32]) -> f64 {
        match self.edges {
            Some(edges) if 32 * words.len() > 2 * self.settling(edges) => self.whole(words, edges),
            _ => self.every_tick(words, 0),
        }
    }

    fn settling(&self, edges: Edges) -> usize {
        (edges.settled_s / self.tick_s).ceil() as usize + 1
    }

    /// Steps the ticks from `from` on.
    fn every_tick(&mut self, words: &[u32], from: usize) -> f64 {
        let (mut light, mut drawn) = (0.0, 0.0);
        let mut tick = from;
        while tick < 32 * words.len() {
            if tick.is_multiple_of(32) && words[tick / 32] == 0 && self.is_dark() {
                tick += 32;
                continue;
            }
            light += self.tick(words[tick / 32] << (tick % 32) >> 31 == 1);
            drawn += self.drawn;
            tick += 1;
        }
        self.drawn = drawn;
        light
    }

    /// What every edge does once it is over, but for what hangs over at begin and end.
    fn whole(&mut self, words: &[u32], edges: Edges) -> f64 {
        let hanging = self.pending();
        let before = self.delay.input();
        let run_up = 32 * words.len() - self.settling(edges);
        let settled = words[run_up / 32] << (run_up % 32) >> 31 == 1;
        self.delay.settle(settled);
        if let Some(plant) = self.plant.settling() {
            plant.settle(settled);
        }
        self.every_tick(words, run_up);
        let count = Count::of(words, before);
        let edges_s = count.down * edges.down_s - count.up * edges.up_s;
        let light = count.ones + (edges_s + hanging - self.pending()) / self.tick_s;
        self.drawn = light + count.up * edges.taken_s / self.tick_s;
        light
    }

    /// Charge of light to come, less the stream's last bit for good.
    fn pending(&self) -> f64 {
        let mut probe = self.clone();
        let (mut done, mut light) = (0.0, 0.0);
        while let Some((at, on)) = probe.delay.change_before(f64::INFINITY) {
            light += probe.plant.run(at - done, &mut Blind).light;
            probe.plant.switch(on);
            done = at;
        }
        let left = probe.plant.settling().map_or(0.0, |plant| plant.pending());
        light - done * f64::from(u8::from(self.delay.input())) + left
    }

    #[inline]
    fn advance(&mut self, on: bool, watch: &mut impl Watch) -> f64 {
        self.delay.feed(on);
        let (mut done, mut charge) = (0.0, Charge::default());
        while let Some((at, on)) = self.delay.change_before(self.tick_s) {
            if at > done {
                watch.begin(done);
                charge += self.plant.run(at - done, watch);
            }
            self.plant.switch(on);
            done = at;
        }
        watch.begin(done);
        charge += self.plant.run(self.tick_s - done, watch);
        self.delay.pass(self.tick_s);
        self.drawn = charge.drawn / self.tick_s;
        charge.light / self.tick_s
    }
}
