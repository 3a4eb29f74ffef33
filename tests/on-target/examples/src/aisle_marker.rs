//! A tunable white pair on a timer that makes PWM of 12 bits.

use core::convert::Infallible;

use embedded_hal::pwm::{ErrorType, SetDutyCycle};
use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::output::{Duties, set_duty};
use milliglow::requantise::{Order, TimerPwm};
use milliglow::{Level, Recipe, Share, constant};

use crate::Seen;
use crate::platform::say;

const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
const CONFIGURATION: Configuration<2> = Configuration::new(CURVE, [Modulation::FirstOrder; 2], 1);
const PWM: TimerPwm = constant!(TimerPwm::new(12, Order::First, None));
/// Warm and cool white.
const WARM: Recipe<2> = Recipe::new([Share::FULL, constant!(Share::from_ratio_nearest(1, 4))]);
/// 16 kHz of PWM over 1 kHz of control steps.
const PERIODS_A_CONTROL_STEP: u32 = 16;

/// In place of a compare channel of a timer with a period of 4 096.
struct Pin {
    seen: Seen,
    sum: u32,
}

impl ErrorType for Pin {
    type Error = Infallible;
}

impl SetDutyCycle for Pin {
    fn max_duty_cycle(&self) -> u16 {
        4_096
    }

    fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Infallible> {
        self.seen.take(duty.into());
        self.sum += u32::from(duty);
        Ok(())
    }
}

/// Up in half a second, then down to black in another, and what the timer saw of it.
pub fn run() {
    let mut luminaire = constant!(Luminaire::new(&CONFIGURATION));
    let mut duties = constant!(Duties::new([PWM; 2], 1));
    let mut pins = [0, 1].map(|_| Pin {
        seen: Seen::NOTHING,
        sum: 0,
    });
    for level in [Level::FULL, Level::OFF] {
        let target = Target {
            level,
            recipe: WARM,
        };
        luminaire.fade_to(&target, Pace::new(500));
        while luminaire.remaining() > 0 {
            luminaire.control_step();
            for _ in 0..PERIODS_A_CONTROL_STEP {
                let next = duties.next(&luminaire.densities());
                for (pin, duty) in pins.iter_mut().zip(next) {
                    let Ok(()) = set_duty(pin, PWM, duty);
                }
            }
        }
    }
    for pin in &pins {
        say("aisle_marker", pin.seen.hash());
        say("ticks_lit", pin.sum);
    }
}
