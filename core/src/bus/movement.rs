//! What a command asks of the light.

use super::Colour;
use crate::Level;
use crate::fade::Pace;

/// From where the light is now to a Level, and to a colour if one is given; both arrive together.
///
/// To carry it out, let the luminaire jump to `from` if there is one, then fade to the rest at `pace`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Movement {
    /// A light that was off begins here, since below lies no level that it can hold.
    pub from: Option<Level>,
    /// How bright.
    pub level: Level,
    /// In which colour; none leaves the colour.
    pub colour: Option<Colour>,
    /// How long.
    pub pace: Pace,
}
