//! Flux correction: temperatures, tables and junctions at random, and recipes corrected with a sensor that fails now and then.

use milliglow::flux_correction::{
    Channel, Configuration, Estimator, Factor, FluxTable, Heating, Temperature,
};
use milliglow::{Error, Light, Recipe, Share};

use crate::random::Random;
use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    report("temperatures and factors", numbers());
    let mut hash = Hash::new();
    for start in 50..62 {
        if let Err(error) = luminaire(start, &mut hash) {
            hash.word(error.message().len() as u32);
        }
    }
    report("flux correction", hash.value());
}

fn numbers() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(50));
    for _ in 0..4_000 {
        let millicelsius = random.next().cast_signed() >> (12 + random.next() % 8);
        let temperature = Temperature::from_millicelsius_nearest(millicelsius);
        let bits = temperature.map_or(i16::MIN, Temperature::to_bits);
        let celsius = Temperature::from_bits(bits).as_celsius().to_bits();
        let factor = Factor::from_ratio_nearest(random.next() >> 4, random.next() >> 5);
        let flux = factor.map_or(0.0, Factor::as_f64).to_bits();
        let all = [bits.cast_unsigned().into(), celsius, flux];
        hash.words(all.map(|number: u64| (number ^ number >> 32) as u32));
    }
    hash.value()
}

/// Three channels, whatever their tables make of them, for some minutes.
fn luminaire(start: u32, hash: &mut Hash) -> Result<(), Error> {
    let mut random = Random::new(start);
    let channels = [channel(&mut random)?, Channel::PLAIN, channel(&mut random)?];
    let fallback = Temperature::from_millicelsius_nearest(40_000)?;
    let mut configuration = Configuration::new(channels, 100 + random.next() % 400, fallback)?;
    if start.is_multiple_of(3) {
        configuration = configuration.with_power_cap(1_000 + random.next() % 3_000)?;
    }
    hash.word(
        channels[0]
            .junction(fallback, Light::FULL)
            .to_bits()
            .cast_unsigned()
            .into(),
    );
    let mut estimator = Estimator::new(&configuration);
    let mut recipe = Recipe::new([Share::FULL; 3]);
    for turn in 0..400 {
        if turn % 40 == 39 {
            recipe = Recipe::new([(); 3].map(|()| share(&mut random)));
        }
        let corrected = estimator.correct(&recipe);
        let light = Light::from_bits(random.next());
        let lights = corrected.lights(light);
        match turn {
            200 => estimator.settle(sensor(&mut random), &lights),
            _ => estimator.step(sensor(&mut random), &lights),
        }
        hash.words(corrected.shares().map(Share::to_bits));
        hash.words(
            estimator
                .junctions()
                .map(|at| at.to_bits().cast_unsigned().into()),
        );
        hash.words([
            estimator.board().to_bits().cast_unsigned().into(),
            estimator.lost_inputs().into(),
        ]);
    }
    Ok(())
}

fn share(random: &mut Random) -> Share {
    let bits = random.any_length();
    Share::from_bits(if random.next().is_multiple_of(2) {
        bits
    } else {
        !bits
    })
}

/// Flux that mostly falls with the temperature; refused now and then.
fn channel(random: &mut Random) -> Result<Channel, Error> {
    let mut millicelsius = -30_000;
    let mut knots = [(Temperature::from_bits(0), Factor::ONE); 5];
    for (number, knot) in knots.iter_mut().enumerate() {
        millicelsius += (300 + random.next() % 40_000).cast_signed();
        let percent = 120 - 15 * number as u32 + random.next() % 20;
        *knot = (
            Temperature::from_millicelsius_nearest(millicelsius)?,
            Factor::from_ratio_nearest(percent, 100)?,
        );
    }
    let table = FluxTable::new(&knots)?;
    let bin = Factor::from_ratio_nearest(80 + random.next() % 40, 100)?;
    let heating = Heating {
        milliwatts: random.next() % 6_000,
        millikelvin_per_watt: random.next() % 30_000,
        time_constant_ms: 10 + random.any_length() % 60_000,
    };
    let steady = table.flux(Temperature::from_bits(random.next() as i16));
    Channel::new(
        table,
        if random.next().is_multiple_of(4) {
            steady
        } else {
            bin
        },
        heating,
    )
}

/// About 30 degrees; lost for a while, or absurd.
fn sensor(random: &mut Random) -> Option<Temperature> {
    match random.next() % 16 {
        0 => None,
        1 => Some(Temperature::from_bits(i16::MIN)),
        _ => Temperature::from_millicelsius_nearest(30_000 + (random.next() % 2_000).cast_signed())
            .ok(),
    }
}
