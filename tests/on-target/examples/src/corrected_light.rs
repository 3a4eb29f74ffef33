//! Five channels whose flux is corrected ten times a second while the board warms; the words go to shift outputs, one a channel.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::flux_correction::Estimator;
use milliglow::luminaire::{Configuration, Luminaire, Target};
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

/// At a tick of 1 MHz, control steps of about 1 kHz: up in two seconds, then a second at full.
const WORDS_A_CONTROL_STEP: u32 = 32;
const FADE_STEPS: u32 = 2_000;
const CONTROL_STEPS: u32 = 3_000;
/// From correction to correction: 10 Hz, which the estimator is configured for.
const CORRECTION_STEPS: u32 = 100;

/// Sends the luminaire on to full in the corrected colour. Whatever its Level still has to go stays as it is.
fn correct(luminaire: &mut Luminaire<'_, 5>, estimator: &Estimator<'_, 5>, steps: u32) {
    let target = Target {
        level: Level::FULL,
        recipe: estimator.correct(&EVENING),
    };
    luminaire.fade_to(&target, Pace::new(steps));
}

/// Up in two seconds while the board warms, what the outputs saw of it, and the shares in the end.
pub fn run() {
    let mut luminaire = constant!(Luminaire::new(&CONFIGURATION));
    let mut estimator = Estimator::new(&CORRECTION);
    let mut board = Board::new();
    let mut seen = Seen::NOTHING;
    correct(&mut luminaire, &estimator, FADE_STEPS);
    for step in 1..=CONTROL_STEPS {
        luminaire.control_step();
        for _ in 0..WORDS_A_CONTROL_STEP {
            luminaire
                .next_words()
                .into_iter()
                .for_each(|word| seen.take(word));
        }
        if step % CORRECTION_STEPS == 0 {
            let light = CURVE.light(luminaire.level());
            let lights = Recipe::new(luminaire.shares()).lights(light);
            estimator.step(board.temperature(), &lights);
            let left = luminaire.remaining().max(CORRECTION_STEPS);
            correct(&mut luminaire, &estimator, left);
        }
    }
    say("corrected_light", seen.hash());
    let shares = luminaire.shares();
    shares
        .iter()
        .for_each(|share| say("share", share.to_bits()));
    say("lost_inputs", estimator.lost_inputs().into());
}
