//! What a gear keeps when its power fails.

use super::limits::Limits;
use super::{Address, ExtendedFadeTime, FadeRate, FadeTime, MASK};
use crate::bus::Colour;

/// Level and colour of a scene; [`MASK`] for a level that stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Scene {
    pub(super) level: u8,
    pub(super) colour: Option<Colour>,
}

impl Scene {
    pub(super) const NONE: Self = Self {
        level: MASK,
        colour: None,
    };
}

/// The variables of a gear that last: store them when they change, give them back at the next start.
///
/// *Source*: values after a reset from memory, but for the fade rate (seen).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Settings {
    pub(super) limits: Limits,
    pub(super) power_on: u8,
    pub(super) system_failure: u8,
    pub(super) fade_time: FadeTime,
    pub(super) extended: ExtendedFadeTime,
    pub(super) fade_rate: FadeRate,
    pub(super) scenes: [Scene; 16],
    pub(super) groups: u16,
    /// [`MASK`] for none.
    pub(super) short_address: u8,
    pub(super) last_active: u8,
}

impl Settings {
    pub(super) const fn new(physical_minimum: u8, short_address: u8) -> Self {
        Self {
            limits: Limits::new(physical_minimum),
            power_on: 254,
            system_failure: 254,
            fade_time: FadeTime::from_code_saturating(0),
            extended: ExtendedFadeTime::from_byte(0),
            fade_rate: FadeRate::DEFAULT,
            scenes: [Scene::NONE; 16],
            groups: 0,
            short_address,
            last_active: 254,
        }
    }

    /// As after a reset, but for the short address and what was lit last.
    pub(super) fn is_reset(&self) -> bool {
        let mut fresh = Self::new(self.limits.physical_minimum, self.short_address);
        fresh.last_active = self.last_active;
        *self == fresh
    }

    pub(super) fn is_for(&self, to: Address) -> bool {
        match to {
            Address::Short(short) => short == self.short_address,
            Address::Group(group) => self.groups >> (group & 15) & 1 == 1,
            Address::Unaddressed => self.short_address == MASK,
            Address::Broadcast => true,
        }
    }

    pub(super) fn scene(&self, index: u8) -> Scene {
        let scene = self.scenes.get(usize::from(index));
        scene.copied().unwrap_or(Scene::NONE)
    }

    pub(super) fn set_scene(&mut self, index: u8, scene: Scene) {
        if let Some(place) = self.scenes.get_mut(usize::from(index)) {
            *place = scene;
        }
    }

    /// `0AAAAAA1`, or [`MASK`] for none; other bytes are refused.
    pub(super) fn set_short_address(&mut self, byte: u8) {
        if byte == MASK {
            self.short_address = MASK;
        } else if byte & 0x81 == 1 {
            self.short_address = byte >> 1;
        }
    }

    /// Of a fade, in tenths of a second.
    pub(super) fn tenths(&self) -> u16 {
        let extended = self.extended.tenths();
        self.fade_time.tenths().unwrap_or(extended)
    }
}
