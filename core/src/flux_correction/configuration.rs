//! What a correction is.

use super::{Channel, Temperature};
use crate::Error;

/// What the correction knows of a luminaire: may sit in flash.
///
/// *Size*: 124 bytes a channel and 12.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Configuration<const N: usize> {
    pub(super) channels: [Channel; N],
    /// By how much a step brings a junction nearer, in units of 2^-32.
    pub(super) rates: [u32; N],
    /// Power of each channel over that of all, in units of 2^-32.
    pub(super) weights: [u32; N],
    /// The cap in the same units; `u32::MAX` for none.
    pub(super) cap: u32,
    total_mw: u32,
    pub(super) fallback: Temperature,
}

impl<const N: usize> Configuration<N> {
    /// From the channels, the time from step to step (100 ms or more: 10 Hz or less) and the board temperature that is taken where
    /// the sensor says nothing sensible. Divides; for set-up.
    ///
    /// # Errors
    /// [`Error::CorrectionPeriod`] for less than 100 or more than 10 000 ms, [`Error::Temperature`] for a fallback that no board has.
    pub const fn new(
        channels: [Channel; N],
        period_ms: u32,
        fallback: Temperature,
    ) -> Result<Self, Error> {
        if period_ms < 100 || period_ms > 10_000 {
            return Err(Error::CorrectionPeriod);
        }
        if !fallback.is_of_board() {
            return Err(Error::Temperature);
        }
        let (mut rates, mut weights, mut total) = ([0; N], [0; N], 0_u64);
        let mut k = 0;
        while k < N {
            total += channels[k].milliwatts as u64;
            rates[k] = rate(period_ms, channels[k].time_constant_ms);
            k += 1;
        }
        k = 0;
        while k < N {
            weights[k] = part(channels[k].milliwatts as u64, total);
            k += 1;
        }
        Ok(Self {
            channels,
            rates,
            weights,
            cap: u32::MAX,
            total_mw: if total > u32::MAX as u64 {
                u32::MAX
            } else {
                total as u32
            },
            fallback,
        })
    }

    /// The same with a cap on the electrical power. It holds for the recipe at full light, so at every light, and a dimming
    /// curve keeps its shape; all channels are scaled alike, so the colour stays.
    ///
    /// # Errors
    /// [`Error::PowerCap`] for less than a hundredth of the power of all channels at full.
    pub const fn with_power_cap(self, milliwatts: u32) -> Result<Self, Error> {
        let total = self.total_mw as u64;
        if milliwatts == 0 || (milliwatts as u64) * 100 < total {
            return Err(Error::PowerCap);
        }
        let cap = part(milliwatts as u64, total);
        Ok(Self { cap, ..self })
    }
}

/// `power / total` in units of 2^-32, rounded down; full for 1 and above.
const fn part(power: u64, total: u64) -> u32 {
    if power >= total && total > 0 {
        return u32::MAX;
    }
    match (power << 32).checked_div(total) {
        Some(part) => part as u32,
        None => 0,
    }
}

/// 1 - exp(-x) for the period over the time constant, at most 1: x - x^2/2 + x^3/6 ... to 12 terms, within 2^-28.
const fn rate(period_ms: u32, time_constant_ms: u32) -> u32 {
    let period = if period_ms < time_constant_ms {
        period_ms
    } else {
        time_constant_ms
    };
    // A time constant is 10 or more, but that is more than the compiler sees here.
    let x = match ((period as u64) << 31).checked_div(time_constant_ms as u64) {
        Some(x) => x,
        None => 1 << 31,
    };
    let (mut term, mut sum, mut k) = (x, 0_u64, 1);
    while k <= 12 {
        sum = if k % 2 == 1 { sum + term } else { sum - term };
        k += 1;
        term = ((term * x) >> 31) / k;
    }
    (sum << 1) as u32
}
