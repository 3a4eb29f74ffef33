//! From packets to values that move smoothly.

use super::lines::Lines;
use super::packet::{Interval, judge};
use super::{Configuration, Counts, OnLoss, Refusal};
use crate::Error;
#[cfg(doc)]
use crate::fade::Fade;

/// N values from packets, smooth between them.
///
/// All move on straight lines over the measured time between packets, and arrive one packet late. Lines follow the beat of the
/// packets, so that jitter does not bend them. While all creep, by no more than 1 / 255 a packet, those of 16 bits go on over three
/// packets that are lost; one that ends just then passes its end by three packets' way and a quarter, and comes back. A value of 8 bits
/// creeps in steps of one: the light follows the straight line in the middle of all that round to what came, `creep_ms` late, so that
/// it knows the next line before the corner to it comes, and goes on over lost packets. What it cannot know, whether the last step is
/// the end of a creep, takes it past that by half a step at most. When a slot moves by two, the delay shrinks at double pace; when it moves by more, or by two from
/// rest, there is none. There is no jump at any change.
///
/// *Smoothness*, on an exponential curve of depth 1 000 at 44 and at 25 packets a second, late by up to 2 ms and one in twenty lost, as
/// PstLM of light over the ideal light so much later, from before a fade of 30 to 600 s to after its end (asserted): below 0.06 with 8 bits
/// and a `creep_ms` of 750, on 48 such lines at each rate, straight and S-shaped; below 0.1 with 16 bits, on 48 such lines at 44, and at 25 from
/// 60 s on, where a fade of 30 s reads up to 0.16: a packet of delay does not bridge a lost one. *Faster creeps of 8 bits* are known
/// less well: below 0.1 down to 12 s at 44 packets a second, while at 25 the line of a fade of 20 s, half a step a packet, is hidden by
/// its rounding, up to 0.22 (not asserted). *Delay*: a packet; of a creep of 8 bits, `creep_ms` (at most 31 packets) more.
/// *Response*: a jump arrives within two packets.
///
/// *Cost*: a control step is one of [`Fade::step`]; a packet, or a beat without one in a creep, divides seven times. A value of 8 bits whose
/// step does not come where its line says divides twice more and compares its last 16 steps in pairs, and that three times in a bend.
/// *State*: 78 bytes and 110 a value. *Interrupts*: one context at a time.
///
/// ```
/// use milliglow::bus::dmx512::{Configuration, OnLoss, Role, Row, Slots, Width};
/// use milliglow::{Level, constant};
///
/// const CONFIGURATION: Configuration<1> = Configuration {
///     rows: [Row { slot: 1, width: Width::CoarseFine, role: Role::Level }],
///     start: [0],
///     control_hz: 1_000,
///     creep_ms: 750,
///     loss_ms: 1_250,
///     on_loss: OnLoss::Hold,
/// };
/// let mut slots = constant!(Slots::new(&CONFIGURATION));
/// slots.packet(&[0, 0x12, 0x34], 0).unwrap(); // START code, coarse, fine
/// slots.control_step();
/// assert_eq!(slots.level(), Level::from_bits(0x1234));
/// ```
#[derive(Clone, Debug)]
pub struct Slots<const N: usize> {
    pub(super) configuration: Configuration<N>,
    lines: Lines<N>,
    interval: Interval,
    /// Control steps since the last packet, up to what counts as a loss.
    silent_steps: u32,
    loss_steps: u32,
    is_first: bool,
    counts: Counts,
}

impl<const N: usize> Slots<N> {
    /// A receiver that has seen no packet.
    ///
    /// # Errors
    /// [`Error::Slot`], [`Error::ControlRate`], [`Error::CreepTime`], [`Error::LossTime`].
    pub const fn new(configuration: &Configuration<N>) -> Result<Self, Error> {
        if let Err(error) = configuration.validate() {
            return Err(error);
        }
        Ok(Self {
            configuration: *configuration,
            lines: Lines::at(&configuration.start),
            interval: Interval::NONE,
            silent_steps: 0,
            loss_steps: configuration.loss_steps(),
            is_first: true,
            counts: Counts::NONE,
        })
    }

    /// A packet, its START code first, whose break came at `at_us`; time stamps may wrap.
    ///
    /// # Errors
    /// [`Refusal`]: then only a count has changed.
    pub fn packet(&mut self, packet: &[u8], at_us: u32) -> Result<(), Refusal> {
        let silence = self.is_first || self.is_lost();
        let judged = judge(packet).and(if !silence && self.interval.is_too_soon(at_us) {
            Err(Refusal::TooSoon)
        } else {
            Ok(())
        });
        self.count(judged);
        judged?;
        let elapsed = self.elapsed(at_us);
        self.interval.take(at_us, elapsed, silence);
        // The first value after a silence is taken at once.
        let elapsed = if silence { 0 } else { elapsed };
        let is_short = self
            .lines
            .aim(&self.configuration, packet, elapsed, &self.interval);
        self.counts.short = self.counts.short.saturating_add(u16::from(is_short));
        self.silent_steps = 0;
        self.is_first = false;
        Ok(())
    }

    /// How many intervals ago the last packet came. Where time stamps say something else than control steps, their time base has jumped.
    fn elapsed(&self, at_us: u32) -> u32 {
        // It is validated and never 0, which the compiler does not know.
        let hz = u32::from(self.configuration.control_hz.max(1));
        let silent_us = self.silent_steps * 1_000 / hz * 1_000;
        let counted = self.interval.in_time(silent_us);
        let stamped = self.interval.elapsed(at_us);
        let elapsed = if stamped.abs_diff(counted) > 1 {
            counted
        } else {
            stamped
        };
        elapsed.max(1)
    }

    /// One control step.
    pub fn control_step(&mut self) {
        self.lines.step(&self.configuration.rows);
        if self.is_first || self.is_lost() {
            return;
        }
        self.silent_steps += 1;
        if self.is_lost() {
            self.counts.losses = self.counts.losses.saturating_add(1);
            if let OnLoss::Fade { values, tenths } = self.configuration.on_loss {
                let hz = u32::from(self.configuration.control_hz);
                self.lines.fade(&values, u32::from(tenths) * hz / 10);
            }
        }
    }

    /// The measured time from break to break in µs, a mean over about eight packets in which lost ones do not count; 0 before the second
    /// packet.
    pub const fn interval_us(&self) -> u32 {
        self.interval.us()
    }

    /// Whether packets have stayed away for longer than allowed.
    pub const fn is_lost(&self) -> bool {
        self.silent_steps >= self.loss_steps
    }

    /// Where each value is, over the whole of 32 bits.
    pub(super) fn places(&self) -> [u32; N] {
        self.lines.places()
    }

    /// What came in.
    pub const fn counts(&self) -> Counts {
        self.counts
    }

    const fn count(&mut self, judged: Result<(), Refusal>) {
        let count = match judged {
            Ok(()) => &mut self.counts.taken,
            Err(Refusal::StartCode(_)) => &mut self.counts.foreign,
            Err(_) => &mut self.counts.refused,
        };
        *count = count.saturating_add(1);
    }
}
