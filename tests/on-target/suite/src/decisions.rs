//! Streams in decisions of every length, their edges booked.

use milliglow::density::{
    Decision, Density, DitherWidth, Dithered, Edge, FirstOrder, Lfsr32, Modulation, Modulator,
    SecondOrder, Stretch, Timer,
};
use milliglow::requantise::{Order, TimerPwm};
use milliglow::{Error, constant};

use crate::random::Random;
use crate::streams::density;
use crate::{Hash, Report};

const MODULATIONS: [(&str, Modulation); 5] = [
    ("first order in decisions", Modulation::FirstOrder),
    ("second order in decisions", Modulation::SecondOrder),
    (
        "dithered in decisions",
        Modulation::Dithered(DitherWidth::ONE_STEP),
    ),
    ("timer in decisions", Modulation::Timer(TIMER)),
    ("timer, rounded", Modulation::Timer(ROUNDING)),
];

const TIMER: TimerPwm = constant!(TimerPwm::new(
    10,
    Order::Second,
    Some(DitherWidth::ONE_STEP)
));
const ROUNDING: TimerPwm = constant!(TimerPwm::new(8, Order::Rounding, None));

pub(crate) fn run(report: Report<'_>) {
    for (name, modulation) in MODULATIONS {
        report(name, hashed(|hash| words(modulation, hash)));
    }
    report("modulators alone", hashed(alone));
}

fn hashed(run: impl FnOnce(&mut Hash) -> Result<(), Error>) -> u32 {
    let mut hash = Hash::new();
    match run(&mut hash) {
        Ok(()) => hash.value(),
        Err(_) => 0,
    }
}

/// Any length, and edges of up to a quarter of a decision either way.
fn decision(random: &mut Random) -> Result<Decision, Error> {
    Ok(Decision {
        stretch: Stretch::from_ticks(1 << (random.next() % 5))?,
        edge: Edge::from_bits(random.next().cast_signed() >> 2)?,
    })
}

/// Densities of a stream, and words of each.
const DENSITIES: u32 = 200;
const WORDS: usize = 12;

fn words(modulation: Modulation, hash: &mut Hash) -> Result<(), Error> {
    let mut random = Random::new(20);
    let mut noise = constant!(Lfsr32::new(20));
    let mut modulator = Modulator::new(modulation, 1 << 29);
    let mut buffer = [0; WORDS];
    for k in 0..DENSITIES {
        let (density, decision) = (density(&mut random, k), decision(&mut random)?);
        modulator.fill_as(density, decision, &mut buffer, &mut noise);
        hash.words(buffer);
    }
    Ok(())
}

/// The same modulators, not by way of the enum.
struct Alone {
    first: FirstOrder,
    second: SecondOrder,
    dithered: Dithered,
    timer: Timer,
    noise: Lfsr32,
}

impl Alone {
    const fn new() -> Self {
        Self {
            first: FirstOrder::new(0),
            second: SecondOrder::new(0),
            dithered: Dithered::new(DitherWidth::ONE_STEP, 0),
            timer: Timer::new(TIMER, 0),
            noise: constant!(Lfsr32::new(21)),
        }
    }

    fn wake(&mut self, density: Density, phase: u32) {
        self.first.wake(density, phase);
        self.second.wake(density, phase);
        self.dithered.wake(density, phase);
        self.timer.wake(density, phase);
    }

    fn fill_as(&mut self, density: Density, decision: Decision) -> [[u32; WORDS]; 4] {
        let mut words = [[0; WORDS]; 4];
        let [first, second, dithered, timer] = &mut words;
        self.first.fill_as(density, decision, first);
        self.second.fill_as(density, decision, second);
        let noise = &mut self.noise;
        self.dithered.fill_as(density, decision, dithered, noise);
        self.timer.fill_as(density, decision, timer, noise);
        words
    }

    fn fill(&mut self, density: Density) -> [[u32; WORDS]; 4] {
        let mut words = [[0; WORDS]; 4];
        let [first, second, dithered, timer] = &mut words;
        self.first.fill(density, first);
        self.second.fill(density, second);
        self.dithered.fill(density, dithered, &mut self.noise);
        self.timer.fill(density, timer, &mut self.noise);
        words
    }
}

fn alone(hash: &mut Hash) -> Result<(), Error> {
    let (mut random, mut alone) = (Random::new(22), Alone::new());
    for k in 0..DENSITIES {
        let density = density(&mut random, k);
        if k % 8 == 4 {
            alone.wake(density, random.next());
        }
        let decision = decision(&mut random)?;
        let words = alone.fill_as(density, decision);
        hash.words(words.into_iter().flatten());
        hash.words(alone.fill(density).into_iter().flatten());
        hash.words([alone.first.charge(), alone.first.owed().cast_unsigned()]);
    }
    Ok(())
}
