//! A colour in the units of a bus.

/// Primaries that a bus can address one by one. *Source*: IEC 62386-209 (from memory).
pub const PRIMARIES: usize = 6;

/// A colour as a bus asks for it: input of a solver, or the choice of a prepared recipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Colour {
    /// Chromaticity x and y (CIE 1931) in units of 1 / 65 536.
    Chromaticity {
        /// x
        x: u16,
        /// y
        y: u16,
    },
    /// Colour temperature in mirek, 10^6 / K.
    Mirek(u16),
    /// The dim level of each primary, 0 to 65 534.
    Primaries([u16; PRIMARIES]),
    /// The dim levels of red, green, blue, white, amber and a free colour, 0 to 254.
    Rgbwaf([u8; PRIMARIES]),
}
