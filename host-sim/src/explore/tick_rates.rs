//! Tick rates that a chip can make: its clock divided by a whole number, and whole hertz.

use crate::description::Description;

/// The chip's clock where the file states none, in Hz.
const CHIP_HZ: u32 = 48_000_000;
/// The lowest tick rate where the file states none, in Hz.
const TICK_HZ_MIN: u32 = 500_000;
/// Ticks of a control step: densities change between words.
const WORD_TICKS: u32 = 32;

/// The clock, what bounds the tick rate, and the rates in between.
#[derive(Clone, Debug, PartialEq)]
pub struct TickRates {
    /// The chip's clock in Hz.
    pub chip_hz: u32,
    /// Whether the file states it.
    pub is_stated: bool,
    /// Lowest rate that may be tried, in Hz.
    pub least_hz: u32,
    /// Highest rate that may be tried, in Hz.
    pub most_hz: u32,
    /// The rates, rising.
    pub rates_hz: Vec<u32>,
}

impl TickRates {
    pub(super) fn of(description: &Description) -> Self {
        let explore = &description.explore;
        let described = description.chip.map(|chip| chip.clock_hz);
        let stated = explore.chip_hz.or(described);
        let chip_hz = stated.unwrap_or(CHIP_HZ);
        let word_hz = description.control_hz.saturating_mul(WORD_TICKS);
        let least_hz = explore.tick_hz_min.unwrap_or(TICK_HZ_MIN).max(word_hz);
        let most_hz = explore.tick_hz_max.unwrap_or(chip_hz / 2);
        let most_hz = most_hz.min(description.hardware.tick_hz_max).min(chip_hz);
        Self {
            chip_hz,
            is_stated: stated.is_some(),
            least_hz,
            most_hz,
            rates_hz: rates(chip_hz, least_hz, most_hz),
        }
    }
}

fn rates(chip_hz: u32, least_hz: u32, most_hz: u32) -> Vec<u32> {
    let divides = |by: &u32| chip_hz.is_multiple_of(*by);
    let rates = (1..=chip_hz / least_hz.max(1)).rev().filter(divides);
    rates
        .map(|by| chip_hz / by)
        .filter(|rate| (least_hz..=most_hz).contains(rate))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{TickRates, rates};
    use crate::description::{BUILT_IN, parse};

    /// A control step takes a word at the least, and the hardware has its own bound.
    #[test]
    fn rates_are_bounded_by_the_control_rate_and_the_hardware() {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        cove.control_hz = 30_000;
        cove.hardware.tick_hz_max = 1_500_000;
        let found = TickRates::of(&cove);
        assert_eq!((found.least_hz, found.most_hz), (960_000, 1_500_000));
        assert_eq!(found.rates_hz, [960_000, 1_000_000, 1_200_000, 1_500_000]);
    }

    #[test]
    fn rates_divide_the_clock_and_rise() {
        assert_eq!(
            rates(48_000_000, 5_000_000, 24_000_000),
            [
                6_000_000, 8_000_000, 9_600_000, 12_000_000, 16_000_000, 24_000_000
            ]
        );
        assert_eq!(rates(48_000_000, 7_000_000, 7_500_000), [0; 0]);
    }
}
