//! The levels that a gear may hold.

/// Lowest and highest control level: physical minimum <= minimum <= maximum <= 254, whatever is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Limits {
    pub(super) physical_minimum: u8,
    pub(super) minimum: u8,
    pub(super) maximum: u8,
}

impl Limits {
    pub(super) const fn new(physical_minimum: u8) -> Self {
        Self {
            physical_minimum,
            minimum: physical_minimum,
            maximum: 254,
        }
    }

    pub(super) fn set_minimum(&mut self, number: u8) {
        self.minimum = number.max(self.physical_minimum).min(self.maximum);
    }

    pub(super) fn set_maximum(&mut self, number: u8) {
        self.maximum = number.min(254).max(self.minimum);
    }

    /// 0 stays off.
    pub(super) fn held(self, number: u8) -> u8 {
        match number {
            0 => 0,
            _ => number.max(self.minimum).min(self.maximum),
        }
    }
}
