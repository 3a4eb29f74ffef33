//! The aisle marker of `host-sim/luminaires` on its bus: an interrupt queues frames, the timer's interrupt lets the gear hear
//! them and posts movements through the mailbox, and the main loop fills streams. It plays the same log as
//! `milliglow check host-sim/luminaires/aisle-marker-on-bus.toml`, and says the same hash of streams.

use core::sync::atomic::{AtomicU32, Ordering};

use milliglow::bus::iec62386::{Configuration as GearConfiguration, Gear};
use milliglow::bus::{FrameQueue, Movement, Palette};
use milliglow::curve::{ControlCurve, Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::mailbox::Mailbox;
use milliglow::{Light, Recipe, Share, constant};

use crate::Seen;
use crate::platform::say;

/// Time in s and two bytes a line.
const LOG: &str = include_str!("../../../../host-sim/luminaires/aisle-marker.log");
const CONTROL_HZ: u32 = 1_000;
const TICK_HZ: u32 = 7_500_000;
const SECONDS: u32 = 14;
/// Of a control step, rounded up.
const MOST_WORDS: usize = (TICK_HZ / CONTROL_HZ).div_ceil(32) as usize;

const CURVE: Curve = Curve::Exponential(Exponential::IEC_LOGARITHMIC);
const LUMINAIRE: Configuration<2> = Configuration::new(CURVE, [Modulation::FirstOrder; 2], 1);
const GEAR: GearConfiguration = GearConfiguration {
    curve: ControlCurve::Logarithmic,
    lowest: constant!(Light::from_ratio_nearest(1, 1_000)),
    control_hz: CONTROL_HZ as u16,
    soft_start_tenths: 5,
    mirek: [167, 357],
};

/// Warm and cool white.
const COOL: Recipe<2> = Recipe::new([share(11_413, 100_000), Share::FULL]);
const NEUTRAL: Recipe<2> = Recipe::new([Share::FULL, share(8_189, 10_000)]);
const WARM: Recipe<2> = Recipe::new([Share::FULL, share(620_573, 10_000_000)]);
const PALETTE: Palette<2, 3> = constant!(Palette::new([(167, COOL), (250, NEUTRAL), (357, WARM)]));

const fn share(numerator: u32, denominator: u32) -> Share {
    match Share::from_ratio_nearest(numerator, denominator) {
        Ok(share) => share,
        Err(_) => panic!("a ratio above 1"),
    }
}

/// What the gear was told when it was set up, each to all: group 2, system failure level 120, power-on level 0, fade time of
/// 2.0 s, short address 5, scene 0 at level 254 and 250 mirek, scene 3 at level 85 and 357 mirek.
const SET_UP: [u16; 29] = [
    0xA300, 0xFF62, 0xFF62, 0xA378, 0xFF2C, 0xFF2C, 0xA300, 0xFF2D, 0xFF2D, 0xA304, 0xFF2E, 0xFF2E,
    0xA30B, 0xFF80, 0xFF80, 0xA3FA, 0xC300, 0xC108, 0xFFE7, 0xA3FE, 0xFF40, 0xFF40, 0xA365, 0xC301,
    0xC108, 0xFFE7, 0xA355, 0xFF43, 0xFF43,
];

/// In place of the bus receiver's registers: the frame that has come, and when in ms.
static RECEIVED: [AtomicU32; 2] = [const { AtomicU32::new(0) }; 2];
/// From the bus's interrupt to the timer's.
static FRAMES: FrameQueue<16> = FrameQueue::new();
/// From the timer's interrupt to the main loop.
static MOVEMENTS: Mailbox<5> = Mailbox::new();

/// A frame has come: the bus's interrupt.
pub fn frame_came() {
    let [frame, at_ms] = RECEIVED.each_ref().map(|word| word.load(Ordering::Relaxed));
    FRAMES.push(frame as u16, at_ms);
}

/// What the timer's interrupt owns.
pub struct Control {
    gear: Gear,
    recipe: Recipe<2>,
    is_started: bool,
}

impl Control {
    /// A gear that has not started.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            gear: constant!(Gear::new(&GEAR)),
            recipe: NEUTRAL,
            is_started: false,
        }
    }

    /// A control step is due: the timer's interrupt.
    pub fn step_is_due(&mut self) {
        let mut movement = None;
        if !self.is_started {
            self.is_started = true;
            self.set_up();
            movement = self.gear.power_on();
        }
        if let Some((frame, at_ms)) = FRAMES.pop() {
            movement = self.gear.receive(frame, at_ms).movement.or(movement);
        }
        if let Some(movement) = self.gear.control_step().or(movement) {
            self.post(&movement);
        }
    }

    /// Only what was stored stays.
    fn set_up(&mut self) {
        let mut told = self.gear.clone();
        for (frame, at) in SET_UP.into_iter().zip(1..) {
            let _ = told.receive(frame, 20 * at);
        }
        self.gear.restore(told.settings());
    }

    fn post(&mut self, movement: &Movement) {
        let coloured = movement.colour.and_then(|colour| PALETTE.recipe(colour));
        self.recipe = coloured.unwrap_or(self.recipe);
        let target = Target {
            level: movement.level,
            recipe: self.recipe,
        };
        MOVEMENTS.post_movement(movement.from, &target, movement.pace);
    }

    /// Frames that the gear took, frames for others, and unknown ones.
    #[must_use]
    pub fn counts(&self) -> [u32; 3] {
        let counts = self.gear.counts();
        [counts.taken, counts.others, counts.unknown].map(u32::from)
    }
}

impl Default for Control {
    fn default() -> Self {
        Self::new()
    }
}

/// Plays the log. `raise_frame` and `raise_step` let the two interrupts come, which call [`frame_came`] and
/// [`Control::step_is_due`].
pub fn run(mut raise_frame: impl FnMut(), mut raise_step: impl FnMut()) {
    let mut luminaire = constant!(Luminaire::new(&LUMINAIRE));
    let mut buffers = [[0; MOST_WORDS]; 2];
    let (mut seen, mut lit) = (Seen::NOTHING, [0; 2]);
    let mut frames = LOG.lines().filter_map(frame).peekable();
    for step in 0..SECONDS * CONTROL_HZ {
        let now_us = step * (1_000_000 / CONTROL_HZ);
        while let Some((at_us, frame)) = frames.next_if(|(at_us, _)| *at_us <= now_us) {
            let [received, at] = &RECEIVED;
            received.store(frame.into(), Ordering::Relaxed);
            at.store(at_us / 1_000, Ordering::Relaxed);
            raise_frame();
        }
        raise_step();
        if let Some((from, target, pace)) = MOVEMENTS.take_movement::<2>() {
            if let Some(level) = from {
                luminaire.fade_to(&Target { level, ..target }, Pace::AT_ONCE);
            }
            luminaire.fade_to(&target, pace);
        }
        luminaire.control_step();
        let words = words_before(step + 1) - words_before(step);
        luminaire.fill(buffers.each_mut().map(|buffer| &mut buffer[..words]));
        for (buffer, lit) in buffers.iter().zip(&mut lit) {
            for &word in &buffer[..words] {
                seen.take(word);
                *lit += word.count_ones();
            }
        }
    }
    say("streams", seen.hash());
    lit.iter().for_each(|&lit| say("ticks_lit", lit));
    say("overflows", FRAMES.overflows());
}

/// Whole words until a control step begins.
fn words_before(step: u32) -> usize {
    (u64::from(step) * u64::from(TICK_HZ) / u64::from(32 * CONTROL_HZ)) as usize
}

/// A line of the log: time in µs and the frame. Remarks are none.
fn frame(line: &str) -> Option<(u32, u16)> {
    let (time, bytes) = line.split_once(',')?;
    let (whole, part) = time.split_once('.')?;
    let digits = part.bytes().chain(core::iter::repeat(b'0')).take(6);
    let part = digits.fold(0, |us, digit| 10 * us + u32::from(digit - b'0'));
    let at_us = whole.parse::<u32>().ok()? * 1_000_000 + part;
    Some((at_us, u16::from_str_radix(bytes.trim(), 16).ok()?))
}
