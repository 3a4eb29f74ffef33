//! What the correction knows of a channel.

use super::{Factor, FluxTable, Temperature};
use crate::{Error, Light, fraction};

/// How a channel warms its own junction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Heating {
    /// Electrical power at full drive, 0 to 10 000 000.
    pub milliwatts: u32,
    /// Thermal resistance from board to junction, 0 to 1 000 000: with the power at most 200 K.
    pub millikelvin_per_watt: u32,
    /// Time constant of the junction, 10 to 10 000 000 ms; what is shorter than a step's period is taken as that.
    pub time_constant_ms: u32,
}

/// Flux of a channel: its bin, its table, and how it warms itself.
///
/// *Size*: 116 bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Channel {
    table: FluxTable,
    bin: Factor,
    pub(super) milliwatts: u32,
    pub(super) time_constant_ms: u32,
    /// Units of temperature by which full light warms the junction.
    rise: u16,
}

impl Channel {
    /// Nominal flux, no heat.
    pub const PLAIN: Self = Self {
        table: FluxTable::STEADY,
        bin: Factor::ONE,
        milliwatts: 0,
        time_constant_ms: 10_000,
        rise: 0,
    };

    /// From a table over junction temperature, the flux of this unit's bin over the nominal one, and its heating. Divides.
    ///
    /// # Errors
    /// [`Error::Heating`] for power, resistance or time constant outside their ranges, or a rise above 200 K.
    pub const fn new(table: FluxTable, bin: Factor, heating: Heating) -> Result<Self, Error> {
        let Heating {
            milliwatts,
            millikelvin_per_watt,
            time_constant_ms,
        } = heating;
        let microkelvin = milliwatts as u64 * millikelvin_per_watt as u64;
        if milliwatts > 10_000_000
            || millikelvin_per_watt > 1_000_000
            || microkelvin > 200_000_000
            || time_constant_ms < 10
            || time_constant_ms > 10_000_000
        {
            return Err(Error::Heating);
        }
        Ok(Self {
            table,
            bin,
            milliwatts,
            time_constant_ms,
            rise: ((microkelvin * 64 + 500_000) / 1_000_000) as u16,
        })
    }

    /// The junction's temperature above a board, warmed as a steady light would: within 1/32 K. A 16 x 16 bit product.
    #[must_use]
    pub fn junction(&self, board: Temperature, warmth: Light) -> Temperature {
        let rise = ((warmth.to_bits() >> 16) * u32::from(self.rise) + 0x8000) >> 16;
        Temperature::from_bits(board.to_bits().saturating_add_unsigned(rise as u16))
    }

    /// Flux over the nominal one in units of 2^-28, 0.01 to 9.
    pub(super) fn flux(&self, junction: Temperature) -> u32 {
        fraction::product(self.bin.to_bits(), self.table.flux(junction).to_bits())
    }
}
