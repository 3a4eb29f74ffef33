//! From packets to values that move smoothly.

use super::creep::Creep;
use super::packet::{Interval, judge};
use super::{Configuration, Counts, OnLoss, Refusal, Width};
use crate::Error;
use crate::fade::{Fade, Pace};

/// N values from packets, smooth between them.
///
/// If any value moves by more than 1 / 255 a packet, all move on straight lines over the measured time between packets, and arrive one packet
/// late. While all creep, a line is two packets long and each packet renews it, so that one that is lost leaves no dent. A value of 8
/// bits creeps in steps of one; two low-passes follow it, together about a second wide. They widen by a quarter a
/// packet and shrink at once when the slot moves faster. There is no jump at either change.
///
/// *Smoothness*, on an exponential curve of depth 1 000 at 44 packets a second, late by up to 2 ms and one in twenty lost, as PstLM of
/// light over ideal light (asserted): 8 bits with `creep_ms` 350 below 0.1 while a fade of 30 to 600 s runs, where a
/// filter of 20 ms leaves 0.5; the filter delays a creep by 0.7 s, and with the corner that it rounds at the start it is
/// below 0.1 for fades of 60 s or more and 0.24 in 30 s. 16 bits below 0.1 for fades of 45 s or more, and 0.13 in 30 s (below
/// 0.015 when none is lost). *Response*: a jump arrives within two packets.
///
/// *Cost*: a control step is one of [`Fade::step`] and four 16-bit products for each value of 8 bits; a packet divides
/// six times. *State*: 62 bytes and 46 a value. *Interrupts*: one context at a time.
///
/// ```
/// use milliglow::bus::dmx512::{Configuration, OnLoss, Role, Row, Slots, Width};
/// use milliglow::{Level, constant};
///
/// const CONFIGURATION: Configuration<1> = Configuration {
///     rows: [Row { slot: 1, width: Width::CoarseFine, role: Role::Level }],
///     start: [0],
///     control_hz: 1_000,
///     creep_ms: 350,
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
    widest: u16,
    pub(super) ramp: Fade<N>,
    targets: [u32; N],
    pub(super) creeps: [Creep; N],
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
        let widest = configuration.widest();
        let mut targets = [0; N];
        let mut creeps = [const { Creep::at(0, 0) }; N];
        let mut k = 0;
        while k < N {
            targets[k] = configuration.start[k] as u32 * 0x0001_0001;
            creeps[k] = Creep::at(targets[k], widest);
            k += 1;
        }
        Ok(Self {
            configuration: *configuration,
            widest,
            ramp: Fade::at(targets),
            targets,
            creeps,
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
        // The first value after a silence is taken at once.
        let elapsed = if silence {
            0
        } else {
            self.interval.elapsed(at_us).clamp(1, 4)
        };
        self.interval.take(at_us, silence);
        self.aim(packet, elapsed);
        self.silent_steps = 0;
        self.is_first = false;
        Ok(())
    }

    /// One control step.
    pub fn control_step(&mut self) {
        self.ramp.step();
        for (creep, input) in self.creeps.iter_mut().zip(self.ramp.values()) {
            creep.step(input);
        }
        if self.is_first || self.is_lost() {
            return;
        }
        self.silent_steps += 1;
        if self.is_lost() {
            self.lose();
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

    /// Sends every value on its way to what the packet says.
    fn aim(&mut self, packet: &[u8], elapsed: u32) {
        let mut starts = self.ramp.values();
        let (mut is_short, mut has_jumped) = (false, false);
        for (k, row) in self.configuration.rows.iter().enumerate() {
            let (Some(target), Some(creep), Some(start)) = (
                self.targets.get_mut(k),
                self.creeps.get_mut(k),
                starts.get_mut(k),
            ) else {
                continue;
            };
            let Some(value) = row.read(packet) else {
                is_short = true;
                continue;
            };
            // A slot may have crept in packets that were lost as well.
            let moved = value.abs_diff(*target) > elapsed * 0x0101_0101;
            has_jumped |= moved;
            match row.width {
                Width::CoarseFine => {}
                Width::Coarse if moved => {
                    *start = creep.out();
                    creep.shrink();
                }
                Width::Coarse => creep.widen(self.widest),
            }
            *target = value;
        }
        self.counts.short = self.counts.short.saturating_add(u16::from(is_short));
        self.ramp = Fade::at(starts);
        self.ramp.start(&self.targets, self.pace(has_jumped));
    }

    /// Over a packet for a jump, rounded down so that it ends before the next; the first one is at once. Else over two: each packet
    /// then finds the line half way and renews it, and one that is lost leaves it as straight as it was.
    const fn pace(&self, has_jumped: bool) -> Pace {
        // The product of µs and rate can take more than 32 bits.
        let us = self.interval.us() * if has_jumped { 1 } else { 2 };
        let hz = self.configuration.control_hz as u32;
        let (ms, rest) = (us / 1_000, us % 1_000);
        Pace::new((ms * hz + rest * hz / 1_000) / 1_000)
    }

    /// Packets have stayed away.
    fn lose(&mut self) {
        self.counts.losses = self.counts.losses.saturating_add(1);
        let OnLoss::Fade { values, tenths } = self.configuration.on_loss else {
            return;
        };
        self.targets = values.map(|value| u32::from(value) * 0x0001_0001);
        self.ramp = Fade::at(self.places());
        self.creeps.iter_mut().for_each(Creep::shrink);
        let hz = u32::from(self.configuration.control_hz);
        self.ramp
            .start(&self.targets, Pace::new(u32::from(tenths) * hz / 10));
    }
}
