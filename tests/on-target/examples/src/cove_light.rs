//! Five channels on a port of 16 pins that a DMA writes once a tick, with flux correction ten times a second.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::flux_correction::Estimator;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::output::{Half, Refill, SentHalves, port_words};
use milliglow::{Level, Recipe, Share, constant};

use crate::Seen;
use crate::board::{Board, CORRECTION};
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

/// Control steps at about 1 kHz: up in two seconds, then a second at full.
const FADE_STEPS: u32 = 2_000;
const CONTROL_STEPS: u32 = 3_000;
/// From correction to correction: 10 Hz, which the estimator is configured for.
const CORRECTION_STEPS: u32 = 100;

/// Sends the luminaire on to full in the corrected colour. Whatever its Level still has to go stays as it is.
fn correct(luminaire: &mut Luminaire<'_, 5>, estimator: &Estimator<'_, 5>) {
    let target = Target {
        level: Level::FULL,
        recipe: estimator.correct(&EVENING),
    };
    let steps = luminaire.remaining().max(CORRECTION_STEPS);
    luminaire.fade_to(&target, Pace::new(steps));
}

/// Up in two seconds while the board warms, and what the pins saw of it.
pub fn run() {
    let mut luminaire = constant!(Luminaire::new(&CONFIGURATION));
    let mut estimator = Estimator::new(&CORRECTION);
    let mut board = Board::new();
    let target = Target {
        level: Level::FULL,
        recipe: estimator.correct(&EVENING),
    };
    luminaire.fade_to(&target, Pace::new(FADE_STEPS));
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
    for step in 1..=CONTROL_STEPS {
        for _ in 0..HALVES_A_CONTROL_STEP {
            pins.send(&mut buffer);
            if let Some(half) = refill.due(&SENT) {
                fill(&mut luminaire, half.of(&mut buffer));
                refill.filled(&SENT);
            }
        }
        luminaire.control_step();
        if step % CORRECTION_STEPS == 0 {
            let light = CURVE.light(luminaire.level());
            let lights = Recipe::new(luminaire.shares()).lights(light);
            estimator.step(board.temperature(), &lights);
            correct(&mut luminaire, &estimator);
        }
    }
    say("cove_light", pins.seen.hash());
    pins.lit.iter().for_each(|&lit| say("ticks_lit", lit));
    say("underruns", refill.underruns());
    let shares = luminaire.shares();
    shares
        .iter()
        .for_each(|share| say("share", share.to_bits()));
    say("lost_inputs", estimator.lost_inputs().into());
}
