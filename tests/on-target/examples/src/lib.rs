//! Invented luminaires. Each plays its fade on a model of its peripheral, which says what reached the pins.
#![no_std]
#![forbid(unsafe_code)]

pub mod aisle_marker;
pub mod board;
pub mod corrected_light;
pub mod cove_light;
pub mod emitted;
pub mod marker_on_bus;
pub mod platform;

/// FNV-1a over what reaches the pins.
pub struct Seen(u32);

impl Seen {
    /// Nothing yet.
    pub const NOTHING: Self = Self(2_166_136_261);

    /// One value more.
    pub fn take(&mut self, value: u32) {
        self.0 = (self.0 ^ value).wrapping_mul(16_777_619);
    }

    /// Of everything so far.
    pub fn hash(&self) -> u32 {
        self.0
    }
}
