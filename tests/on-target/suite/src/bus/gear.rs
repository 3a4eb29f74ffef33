//! A control gear that hears frames at random, keeps time, and loses and regains its power.

use milliglow::bus::iec62386::{Configuration, Frame, Gear, SETTINGS_BYTES, Settings};
use milliglow::curve::{ControlCurve, ControlLevel};
use milliglow::{Error, Level, Light, constant};

use super::{hash_colour, hash_movement};
use crate::Hash;
use crate::random::Random;

const fn configuration(curve: ControlCurve, control_hz: u16) -> Configuration {
    Configuration {
        curve,
        lowest: constant!(Light::from_ratio_nearest(1, 500)),
        control_hz,
        soft_start_tenths: 5,
        mirek: [153, 370],
    }
}

pub(super) fn script() -> u32 {
    let mut hash = Hash::new();
    for (curve, control_hz) in [
        (ControlCurve::Logarithmic, 1_000),
        (ControlCurve::Linear, 333),
        (ControlCurve::Linear, 99),
    ] {
        let configuration = configuration(curve, control_hz);
        let minimum = ControlLevel::physical_minimum(curve, configuration.lowest);
        hash.word(minimum.number().into());
        if let Err(error) = run(&configuration, &mut hash) {
            hash.word(error.message().len() as u32);
        }
    }
    hash.value()
}

fn run(configuration: &Configuration, hash: &mut Hash) -> Result<(), Error> {
    let mut gear = Gear::new(configuration)?;
    let (mut random, mut now) = (Random::new(16), 0_u32);
    hash_movement(gear.power_on(), hash);
    for turn in 0..20_000 {
        now = now.wrapping_add(random.next() % 90);
        let frame = frame(&mut random);
        let _ = Frame::decode(frame);
        // Settings are taken when they come twice.
        for _ in 0..1 + random.next() % 2 {
            let response = gear.receive(frame, now);
            hash.word(response.answer.map_or(999, u32::from));
            hash_movement(response.movement, hash);
        }
        for _ in 0..random.next() % 4 {
            hash_movement(gear.control_step(), hash);
        }
        observe(&gear, configuration, hash);
        if turn % 512 == 500 {
            power_cycle(&mut gear, configuration, hash)?;
        }
    }
    Ok(())
}

/// Any 16 bits, but most of them for all or for the first group.
fn frame(random: &mut Random) -> u16 {
    let any = random.next() as u16;
    match random.next() % 8 {
        0 => any,
        1 => 0xFE00 | any & 0xFF,
        2 => 0x8100 | any & 0xFF,
        3 => 0xA300 | any & 0x60FF,
        4 => 0xFFE0 | any & 0x1F,
        5 => 0xC108,
        _ => 0xFF00 | any & 0xFF,
    }
}

fn observe(gear: &Gear, configuration: &Configuration, hash: &mut Hash) {
    let nearest = configuration.curve.nearest(gear.level());
    hash.words([
        gear.level().to_bits().into(),
        gear.actual().into(),
        gear.remaining(),
        nearest.map_or(0, ControlLevel::number).into(),
    ]);
    let counts = gear.counts();
    hash.words([counts.taken, counts.others, counts.unknown, counts.single].map(u32::from));
}

/// Through an image of the settings.
fn power_cycle(
    gear: &mut Gear,
    configuration: &Configuration,
    hash: &mut Hash,
) -> Result<(), Error> {
    hash_movement(gear.bus_failed(), hash);
    gear.report_lamp(gear.level() == Level::OFF);
    let mut image = [0; SETTINGS_BYTES];
    let length = gear.settings().to_image(&mut image);
    hash.word(length.map_or(0, |length| length as u32));
    hash.words(image.map(u32::from));
    let stored = Settings::from_image(&image);
    *gear = Gear::new(configuration)?;
    match stored {
        Ok(settings) => gear.restore(&settings),
        Err(_) => hash.word(1),
    }
    hash_movement(gear.power_on(), hash);
    hash_colour(None, hash);
    Ok(())
}
