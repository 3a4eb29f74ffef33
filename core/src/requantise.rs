//! From a density to the duties of a timer of few bits, with error feedback over periods.

use crate::Error;
use crate::density::{Density, DitherWidth, NoiseSource};

/// How a duty is rounded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Order {
    /// To the nearest step: plain PWM, its error stays.
    Rounding,
    /// The error of a period goes into the next: the mean is exact.
    #[default]
    First,
    /// Its sum goes along: less noise at low frequencies.
    Second,
}

/// PWM of a timer: periods of 2^bits ticks, each lit at its beginning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct TimerPwm {
    /// Bits in the lower half, order in the upper.
    bits_and_order: u8,
    dither: Option<DitherWidth>,
}

impl TimerPwm {
    /// A timer of 8 to 16 bits; its dither is as wide as a part of a step.
    ///
    /// # Errors
    /// [`Error::TimerBits`] for fewer or more bits.
    pub const fn new(bits: u8, order: Order, dither: Option<DitherWidth>) -> Result<Self, Error> {
        if bits < 8 || bits > 16 {
            return Err(Error::TimerBits);
        }
        Ok(Self {
            bits_and_order: (bits - 8) | ((order as u8) << 4),
            dither,
        })
    }

    /// 8 to 16.
    pub const fn bits(self) -> u8 {
        8 + (self.bits_and_order & 15)
    }

    /// How a duty is rounded.
    pub const fn order(self) -> Order {
        match self.bits_and_order >> 4 {
            0 => Order::Rounding,
            1 => Order::First,
            _ => Order::Second,
        }
    }

    /// The dither, if any.
    pub const fn dither(self) -> Option<DitherWidth> {
        self.dither
    }

    /// Ticks of a period.
    pub const fn period(self) -> u32 {
        1 << self.bits()
    }

    /// What a period of a density is worth, in units of 2^-32 ticks; full density is exactly a period.
    pub(crate) const fn ticks(self, density: Density) -> i64 {
        density.exact() << self.bits()
    }
}

/// The duties of a timer's PWM.
///
/// *Properties*: none is an exact 0, full an exact 2^bits. The duties' sum stays within one step of the densities' (first order; half a
/// step without dither), or within two (second order; one without dither), however the density changes.
/// Second order within two steps of either end goes on as first order, where it could not stay bounded.
/// *Range*: 8 to 16 bits. *State*: 12 bytes. *Cost*: a few 64-bit additions and a shift a period, no product, no division.
/// *Interrupts*: the owner of the state may be the timer's.
///
/// ```
/// use milliglow::density::{Density, Lfsr32};
/// use milliglow::requantise::{Order, Requantiser, TimerPwm};
/// use milliglow::constant;
///
/// let mut noise = constant!(Lfsr32::new(1));
/// let mut requantiser = Requantiser::new(constant!(TimerPwm::new(8, Order::First, None)), 0);
/// let half_a_step = Density::from_bits(1 << 23);
/// let duties = [(); 4].map(|()| requantiser.next_duty(half_a_step, &mut noise));
/// assert_eq!(duties, [0, 1, 0, 1]);
/// ```
#[derive(Clone, Debug)]
pub struct Requantiser {
    /// Charge: ticks owed, in units of 2^-32 and whole.
    part: u32,
    whole: i32,
    /// The sum of the charge in units of 2^-14 ticks, second order only; [`AFRESH`] where it begins.
    sum: i16,
    pwm: TimerPwm,
}

const TICK: i64 = 1 << 32;
/// No sum yet.
const AFRESH: i16 = i16::MIN;
/// A tick in the units of the sum.
const OF_SUM: i32 = 1 << 14;

impl Requantiser {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 step.
    #[must_use]
    pub const fn new(pwm: TimerPwm, phase: u32) -> Self {
        let mut made = Self {
            part: 0,
            whole: 0,
            sum: 0,
            pwm,
        };
        made.set_charge(phase as i64 - TICK / 2);
        made
    }

    /// What the timer is.
    pub const fn pwm(&self) -> TimerPwm {
        self.pwm
    }

    /// The duty of the next period, 0 to 2^bits: its ones are counter values below the duty.
    #[must_use]
    pub fn next_duty(&mut self, density: Density, noise: &mut impl NoiseSource) -> u32 {
        let duty = self.plan(density, 0, noise);
        self.add_charge(self.pwm.ticks(density) - i64::from(duty) * TICK);
        duty
    }

    /// The duty of the next period, not booked yet. `edge` is what its rising edge will take, in units of 2^-32 ticks.
    pub(crate) fn plan(
        &mut self,
        density: Density,
        edge: i64,
        noise: &mut impl NoiseSource,
    ) -> u32 {
        match density {
            Density::NONE => return 0,
            Density::FULL => return self.pwm.period(),
            _ => {}
        }
        let asked = self.pwm.ticks(density) + edge;
        let wanted = asked + self.fed_back(asked) + self.dithered(noise) + TICK / 2;
        (wanted >> 32).clamp(0, i64::from(self.pwm.period())) as u32
    }

    fn fed_back(&mut self, asked: i64) -> i64 {
        let charge = self.charge();
        match self.pwm.order() {
            Order::Rounding => 0,
            Order::First => charge,
            Order::Second => {
                let room = asked.min(self.pwm.ticks(Density::FULL) - asked);
                if room < 2 * TICK || charge.abs() > 2 * TICK {
                    self.sum = AFRESH;
                    return charge;
                }
                self.sum = self.summed((charge >> 18) as i32);
                charge + (i64::from(self.sum) << 18)
            }
        }
    }

    /// The sum with a charge more. The first one may be left from an end of the range, and larger than a second order's error ever is.
    fn summed(&self, charge: i32) -> i16 {
        let sum = if self.sum == AFRESH {
            charge.clamp(-OF_SUM, OF_SUM)
        } else {
            (i32::from(self.sum) + charge).clamp(1 - 2 * OF_SUM, 2 * OF_SUM - 1)
        };
        sum as i16
    }

    fn dithered(&self, noise: &mut impl NoiseSource) -> i64 {
        let width = |width: DitherWidth| i64::from(width.of(noise.next()));
        self.pwm.dither.map_or(0, width)
    }

    /// Ticks owed in units of 2^-32.
    pub(crate) const fn charge(&self) -> i64 {
        ((self.whole as i64) << 32) | self.part as i64
    }

    pub(crate) const fn set_charge(&mut self, charge: i64) {
        self.part = charge as u32;
        self.whole = (charge >> 32) as i32;
    }

    pub(crate) const fn add_charge(&mut self, charge: i64) {
        self.set_charge(self.charge().saturating_add(charge));
    }

    /// A new charge, with nothing fed back but it.
    pub(crate) const fn restart(&mut self, charge: i64) {
        self.set_charge(charge);
        self.sum = AFRESH;
    }
}
