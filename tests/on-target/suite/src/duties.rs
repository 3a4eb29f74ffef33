//! The duties of timers, and how they come to pins.

use core::convert::Infallible;

use embedded_hal::pwm::{ErrorType, SetDutyCycle};
use milliglow::constant;
use milliglow::density::{DitherWidth, Lfsr32};
use milliglow::output::set_duty;
use milliglow::requantise::{Order, Requantiser, TimerPwm};

use crate::random::Random;
use crate::streams::density;
use crate::{Hash, Report};

const DITHERS: [Option<DitherWidth>; 2] = [None, Some(DitherWidth::ONE_STEP)];

pub(crate) fn run(report: Report<'_>) {
    report("duties rounded", duties(Order::Rounding));
    report("duties of first order", duties(Order::First));
    report("duties of second order", duties(Order::Second));
}

fn duties(order: Order) -> u32 {
    let mut hash = Hash::new();
    for bits in 0..20 {
        for dither in DITHERS {
            match TimerPwm::new(bits, order, dither) {
                Ok(pwm) => periods(pwm, &mut hash),
                Err(error) => hash.word(error.message().len() as u32),
            }
        }
    }
    hash.value()
}

fn periods(pwm: TimerPwm, hash: &mut Hash) {
    let mut random = Random::new(13);
    let mut noise = constant!(Lfsr32::new(13));
    let mut requantiser = Requantiser::new(pwm, random.next());
    let mut pin = Pin {
        most: random.next() as u16,
        duty: 0,
    };
    for k in 0..2_000 {
        let duty = requantiser.next_duty(density(&mut random, k / 8), &mut noise);
        let Ok(()) = set_duty(&mut pin, requantiser.pwm(), duty);
        hash.words([duty, pin.duty.into()]);
    }
    hash.words([
        pwm.bits().into(),
        pwm.period(),
        pwm.order() as u32,
        pwm.dither().is_some().into(),
    ]);
}

struct Pin {
    most: u16,
    duty: u16,
}

impl ErrorType for Pin {
    type Error = Infallible;
}

impl SetDutyCycle for Pin {
    fn max_duty_cycle(&self) -> u16 {
        self.most
    }

    fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Infallible> {
        self.duty = duty;
        Ok(())
    }
}
