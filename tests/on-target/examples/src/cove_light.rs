//! Five channels on a port of 16 pins that a DMA writes once a tick.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::output::{Half, Refill, SentHalves, port_words};
use milliglow::{Level, Recipe, Share, constant};

use crate::Seen;
use crate::platform::say;

const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
const CONFIGURATION: Configuration<5> = Configuration::new(CURVE, [Modulation::FirstOrder; 5], 1);
/// Red, green, blue, amber, warm white.
const EVENING: Recipe<5> = Recipe::new([
    constant!(Share::from_ratio_nearest(1, 2)),
    constant!(Share::from_ratio_nearest(1, 5)),
    constant!(Share::from_ratio_nearest(1, 20)),
    constant!(Share::from_ratio_nearest(4, 5)),
    Share::FULL,
]);

/// 128 ticks: at 1 MHz a half lasts 128 us.
type HalfBuffer = [[u16; 32]; 4];
const HALVES_A_CONTROL_STEP: u32 = 8;

/// What the DMA's interrupt writes and the main loop reads.
static SENT: SentHalves = SentHalves::new();

/// In place of a DMA: sends a half to pins, then interrupts.
struct Pins {
    sending: Half,
    seen: Seen,
    lit: [u32; 5],
}

impl Pins {
    fn send(&mut self, buffer: &mut [HalfBuffer; 2]) {
        for &word in self.sending.of(buffer).as_flattened() {
            self.seen.take(word.into());
            for (k, lit) in self.lit.iter_mut().enumerate() {
                *lit += u32::from(word >> k & 1);
            }
        }
        self.sending = match self.sending {
            Half::First => Half::Second,
            Half::Second => Half::First,
        };
        SENT.begun(self.sending);
    }
}

fn fill(luminaire: &mut Luminaire<'_, 5>, half: &mut HalfBuffer) {
    for block in half {
        port_words(&luminaire.next_words(), block);
    }
}

/// Up in two seconds at about 1 kHz, and what the pins saw of it.
pub fn run() {
    let mut luminaire = constant!(Luminaire::new(&CONFIGURATION));
    let target = Target {
        level: Level::FULL,
        recipe: EVENING,
    };
    luminaire.fade_to(&target, Pace::new(2_000));
    luminaire.control_step();
    let mut buffer: [HalfBuffer; 2] = Default::default();
    buffer
        .iter_mut()
        .for_each(|half| fill(&mut luminaire, half));
    let mut refill = Refill::new();
    let mut pins = Pins {
        sending: Half::First,
        seen: Seen::NOTHING,
        lit: [0; 5],
    };
    for _ in 0..2_000 {
        for _ in 0..HALVES_A_CONTROL_STEP {
            pins.send(&mut buffer);
            if let Some(half) = refill.due(&SENT) {
                fill(&mut luminaire, half.of(&mut buffer));
                refill.filled(&SENT);
            }
        }
        luminaire.control_step();
    }
    say("cove_light", pins.seen.hash());
    pins.lit.iter().for_each(|&lit| say("ticks_lit", lit));
    say("underruns", refill.underruns());
    say("remaining", luminaire.remaining());
}
