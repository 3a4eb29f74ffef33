//! Duties out to a timer, by the traits of `embedded-hal` 1.0 (feature `embedded-hal`).

use embedded_hal::pwm::SetDutyCycle;

use crate::requantise::TimerPwm;

/// Sets a duty of 0 to 2^bits on a pin, scaled to the pin's highest duty and rounded to the nearest; 0 and 2^bits are exact.
///
/// Let the timer count so that the highest duty is 2^bits (65 535 for 16 bits): any other one rounds once more, which no
/// feedback knows of. *Cost*: a product and a shift, no division.
///
/// # Errors
/// The pin's own.
pub fn set_duty<P: SetDutyCycle + ?Sized>(
    pin: &mut P,
    pwm: TimerPwm,
    duty: u32,
) -> Result<(), P::Error> {
    // At most 65 536 x 65 535 + 32 768, which 32 bits hold.
    let scaled = duty.min(pwm.period()) * u32::from(pin.max_duty_cycle());
    let rounded = (scaled + pwm.period() / 2) >> pwm.bits();
    pin.set_duty_cycle(rounded as u16)
}

#[cfg(test)]
mod tests {
    use core::cell::Cell;
    use core::convert::Infallible;

    use embedded_hal::pwm::{ErrorType, SetDutyCycle};

    use super::set_duty;
    use crate::requantise::{Order, TimerPwm};

    struct Pin {
        most: u16,
        duty: u16,
        /// How often the highest duty was asked for: a driver may have to read a register for that.
        asked: Cell<u32>,
    }

    impl ErrorType for Pin {
        type Error = Infallible;
    }

    impl SetDutyCycle for Pin {
        fn max_duty_cycle(&self) -> u16 {
            self.asked.set(self.asked.get() + 1);
            self.most
        }

        fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Infallible> {
            assert!(duty <= self.most);
            self.duty = duty;
            Ok(())
        }
    }

    #[test]
    fn every_duty_is_the_nearest_and_the_ends_are_exact() {
        for (bits, most) in [
            (8, 256),
            (8, 255),
            (12, 4_096),
            (12, 4_095),
            (10, 999),
            (16, 65_535),
            (16, 1),
        ] {
            let pwm = TimerPwm::new(bits, Order::First, None).expect("allowed");
            let (duty, asked) = (7, Cell::new(0));
            let mut pin = Pin { most, duty, asked };
            for duty in 0..=pwm.period() {
                set_duty(&mut pin, pwm, duty).expect("infallible");
                assert_eq!(pin.asked.take(), 1);
                let off = (i64::from(pin.duty) << bits) - i64::from(duty) * i64::from(most);
                assert!(2 * off.abs() <= i64::from(pwm.period()));
                assert!(u32::from(most) != pwm.period() || u32::from(pin.duty) == duty);
            }
            assert_eq!(pin.duty, most);
            set_duty(&mut pin, pwm, 0).expect("infallible");
            assert_eq!(pin.duty, 0);
        }
    }
}
