//! Commands of colour: values wait until a level, a scene or an activation takes them along.

use super::{Gear, Response};
use crate::Level;
use crate::bus::{Colour, Movement, PRIMARIES};
use crate::fade::Pace;

/// 16 bits that ask for no change. *Source*: IEC 62386-209 (from memory).
const MASK: u16 = 0xFFFF;

/// A colour that waits; masked parts keep what is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Temporary(Option<Colour>);

impl Temporary {
    pub(super) const NONE: Self = Self(None);

    pub(super) const fn set(&mut self, colour: Option<Colour>) {
        self.0 = colour;
    }

    pub(super) const fn take(&mut self) -> Option<Colour> {
        self.0.take()
    }

    const fn set_x(&mut self, x: u16) {
        self.0 = Some(match self.0 {
            Some(Colour::Chromaticity { y, .. }) => Colour::Chromaticity { x, y },
            _ => Colour::Chromaticity { x, y: MASK },
        });
    }

    const fn set_y(&mut self, y: u16) {
        self.0 = Some(match self.0 {
            Some(Colour::Chromaticity { x, .. }) => Colour::Chromaticity { x, y },
            _ => Colour::Chromaticity { x: MASK, y },
        });
    }

    /// Three dim levels in a row, the first one at `first`.
    fn set_dim_levels(&mut self, first: usize, values: [u8; 3]) {
        let mut levels = match self.0 {
            Some(Colour::Rgbwaf(levels)) => levels,
            _ => [super::MASK; PRIMARIES],
        };
        let places = levels.iter_mut().skip(first);
        places.zip(values).for_each(|(place, value)| *place = value);
        self.0 = Some(Colour::Rgbwaf(levels));
    }

    fn set_primary(&mut self, index: u8, level: u16) {
        let mut levels = match self.0 {
            Some(Colour::Primaries(levels)) => levels,
            _ => [MASK; PRIMARIES],
        };
        if let Some(place) = levels.get_mut(usize::from(index)) {
            *place = level;
            self.0 = Some(Colour::Primaries(levels));
        }
    }

    /// What it means where `present` is: none if a masked part has nothing to keep.
    fn over(self, present: Option<Colour>) -> Option<Colour> {
        match (self.0?, present) {
            (Colour::Mirek(MASK | 0), _) => None,
            (Colour::Chromaticity { x, y }, Some(Colour::Chromaticity { x: old_x, y: old_y })) => {
                let (x, y) = (kept(x, old_x), kept(y, old_y));
                Some(Colour::Chromaticity { x, y })
            }
            (Colour::Chromaticity { x, y }, _) if x == MASK || y == MASK => None,
            (Colour::Primaries(levels), present) => {
                let old = match present {
                    Some(Colour::Primaries(old)) => old,
                    _ => [0; PRIMARIES],
                };
                Some(Colour::Primaries(kept_levels(levels, old, MASK)))
            }
            (Colour::Rgbwaf(levels), present) => {
                let old = match present {
                    Some(Colour::Rgbwaf(old)) => old,
                    _ => [0; PRIMARIES],
                };
                Some(Colour::Rgbwaf(kept_levels(levels, old, super::MASK)))
            }
            (colour, _) => Some(colour),
        }
    }
}

fn kept_levels<T: Copy + PartialEq>(
    levels: [T; PRIMARIES],
    mut old: [T; PRIMARIES],
    mask: T,
) -> [T; PRIMARIES] {
    let given = old.iter_mut().zip(levels);
    given
        .filter(|(_, level)| *level != mask)
        .for_each(|(old, level)| *old = level);
    old
}

const fn kept(value: u16, old: u16) -> u16 {
    if value == MASK { old } else { value }
}

impl Gear {
    /// A command of IEC 62386-209 (numbers from memory); values come in the data registers.
    pub(super) fn colour_command(&mut self, code: u8) -> Response {
        let registers = self.registers;
        let [low, high, index] = registers;
        let value = u16::from_be_bytes([high, low]);
        match code {
            0xE0 => self.temporary.set_x(value),
            0xE1 => self.temporary.set_y(value),
            0xE2 => return self.activate().into(),
            0xE7 => self.temporary.set(Some(Colour::Mirek(value))),
            0xE8 => return self.step_mirek(-1).into(),
            0xE9 => return self.step_mirek(1).into(),
            0xEA => self.temporary.set_primary(index, value),
            0xEB => self.temporary.set_dim_levels(0, registers),
            0xEC => self.temporary.set_dim_levels(3, registers),
            0xF8..=0xFA => return self.colour_query(code).into(),
            _ => self.counts.see_unknown(),
        }
        Response::default()
    }

    /// The colour that waits, in the fade time; a Level on its way arrives with it.
    pub(super) fn activate(&mut self) -> Option<Movement> {
        self.temporary.over(self.colour)?;
        let steps = match self.level() {
            Level::OFF => 0,
            _ => self.steps(self.settings.tenths()),
        };
        Some(self.start(None, self.goal, Pace::new(steps)))
    }

    /// One mirek cooler or warmer, at once or with a Level on its way; nothing without a colour temperature.
    fn step_mirek(&mut self, by: i16) -> Option<Movement> {
        let Some(Colour::Mirek(mirek)) = self.colour else {
            return None;
        };
        let stepped = mirek.saturating_add_signed(by);
        self.temporary.set(Some(Colour::Mirek(stepped)));
        let pace = Pace::new(self.fade.remaining());
        Some(self.start(None, self.goal, pace))
    }

    /// What waits becomes the colour that is; none if nothing waits.
    pub(super) fn take_colour(&mut self) -> Option<Colour> {
        let colour = self.temporary.over(self.colour);
        self.temporary = Temporary::NONE;
        let colour = colour.map(|colour| self.reachable(colour))?;
        self.colour = Some(colour);
        self.colour
    }

    fn reachable(&self, colour: Colour) -> Colour {
        let [coolest, warmest] = self.configuration.mirek;
        match colour {
            Colour::Mirek(mirek) => Colour::Mirek(mirek.min(warmest).max(coolest)),
            colour => colour,
        }
    }
}
