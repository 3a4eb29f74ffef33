//! What `flux.c` must say.

use milliglow::curve::Curve;
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::flux_correction::{
    self, Channel, Estimator, Factor, FluxTable, Heating, Temperature,
};
use milliglow::luminaire::{Configuration, Luminaire};
use milliglow::{Light, Recipe, Share, constant};

use crate::{Hash, say, target};

const fn knot(millicelsius: i32, ppm: u32) -> (Temperature, Factor) {
    let (Ok(at), Ok(flux)) = (
        Temperature::from_millicelsius_nearest(millicelsius),
        Factor::from_ratio_nearest(ppm, 1_000_000),
    ) else {
        panic!("allowed");
    };
    (at, flux)
}

const RED: FluxTable = constant!(FluxTable::new(&[
    knot(-20_000, 1_350_000),
    knot(25_000, 1_000_000),
    knot(85_000, 530_000),
    knot(125_000, 300_000),
]));
const BLUE: FluxTable = constant!(FluxTable::new(&[
    knot(25_000, 1_000_000),
    knot(85_000, 950_000)
]));

const fn heating(milliwatts: u32, millikelvin_per_watt: u32, time_constant_ms: u32) -> Heating {
    Heating {
        milliwatts,
        millikelvin_per_watt,
        time_constant_ms,
    }
}

const CHANNELS: [Channel; 3] = [
    constant!(Channel::new(
        RED,
        knot(0, 930_000).1,
        heating(3_000, 10_000, 8_000)
    )),
    constant!(Channel::new(
        BLUE,
        Factor::ONE,
        heating(2_500, 8_000, 5_000)
    )),
    Channel::PLAIN,
];
const UNCAPPED: flux_correction::Configuration<3> = constant!(flux_correction::Configuration::new(
    CHANNELS,
    100,
    knot(45_000, 1_000_000).0
));
static THREE: flux_correction::Configuration<3> = constant!(UNCAPPED.with_power_cap(4_000));

pub(crate) fn flux() {
    say("memory", 1);
    println!("flux_memory NULL\nflux_memory SIZE\nflux_memory ALIGNMENT\nflux CHANNELS");
    println!("flux CORRECTION_PERIOD\nflux TEMPERATURE\nflux POWER_CAP\nflux FLUX_TABLE");
    println!("flux FACTOR\nflux HEATING\nno_flux NULL\nlost 00000000\ninit NONE\nflux_init NONE");
    let configuration = Configuration::new(Curve::Linear, [Modulation::FirstOrder; 3], 1);
    let mut luminaire = Luminaire::new(&configuration).expect("allowed");
    let mut estimator = Estimator::new(&THREE);
    let asked = Recipe::new([0xC000_0000, 0xFFFF_FFFF, 0x2000_0000].map(Share::from_bits));
    let (mut hash, mut shares) = (Hash::OF_NOTHING, [0; 3]);
    for k in 0..600_u16 {
        shares = estimator.correct(&asked).shares().map(Share::to_bits);
        luminaire.fade_to(&target(65_535 - 50 * k, shares), Pace::AT_ONCE);
        luminaire.control_step();
        let light = Curve::Linear.light(luminaire.level());
        let lights = Recipe::new(luminaire.shares()).lights(light);
        let millicelsius = 20_000 + 90 * i32::from(k);
        let measured = Temperature::from_millicelsius_nearest(millicelsius).expect("allowed");
        let measured = (k % 50 != 40).then_some(measured);
        match k {
            300 => estimator.settle(measured, &lights),
            _ => estimator.step(measured, &lights),
        }
        hash.take(shares);
        hash.take(lights.map(Light::to_bits));
        let junctions = estimator.junctions();
        hash.take(junctions.map(|at| ((at.as_celsius() * 1_000.0) as i32).cast_unsigned()));
    }
    say("corrected", hash.0);
    say("well", 1);
    say("lost", estimator.lost_inputs().into());
    shares.iter().for_each(|&share| say("share", share));
}
