//! Operating tables.
#![expect(unsafe_code, reason = "pointers come from C")]

use milliglow::Light;
use milliglow::density::Stretch;
use milliglow::operating::{self, EdgeLoss, EdgeTimes, RangeRatio, Row, Settling};

use crate::configuration::Modulation;
use crate::error::{MILLIGLOW_ERROR_ROWS, MILLIGLOW_ERROR_SETTLING, code, status};
use crate::memory;

/// An operating table.
pub struct Table(pub(crate) operating::Table);

/// As many bytes as the header says.
const _: () = assert!(size_of::<Table>() <= 328 && align_of::<Table>() <= align_of::<usize>());

/// One row of an operating table.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct RowSetting {
    /// The channel light from which on the row is in force, in units of 2^-32.
    pub from_light: u32,
    /// Full light of the channel over that of this range is ratio_numerator / ratio_denominator, 1 to 1 024.
    pub ratio_numerator: u32,
    /// Above 0.
    pub ratio_denominator: u32,
    /// Edges of the driver in picoseconds: from no current to full current,
    pub rise_ps: u32,
    /// from full current to none,
    pub fall_ps: u32,
    /// from switching on until the current begins to rise,
    pub on_delay_ps: u32,
    /// from switching off until it begins to fall.
    pub off_delay_ps: u32,
    /// Ticks a decision: 1, 2, 4, 8 or 16.
    pub stretch_ticks: u8,
    /// Which set point of the driver: a number of the board's own.
    pub range: u8,
}

impl RowSetting {
    fn made(
        &self,
        tick_ps: u32,
        modulation: milliglow::density::Modulation,
    ) -> Result<Row, milliglow::Error> {
        let times = EdgeTimes {
            rise_ps: self.rise_ps,
            fall_ps: self.fall_ps,
            on_delay_ps: self.on_delay_ps,
            off_delay_ps: self.off_delay_ps,
        };
        let setting = operating::RowSetting {
            from_light: Light::from_bits(self.from_light),
            range: self.range,
            ratio: RangeRatio::from_ratio_nearest(self.ratio_numerator, self.ratio_denominator)?,
            stretch: Stretch::from_ticks(self.stretch_ticks.into())?,
            edges: EdgeLoss::from_times(&times, tick_ps)?,
        };
        Row::new(&setting, modulation)
    }
}

/// The set point is there with the next tick.
pub const MILLIGLOW_SETTLING_AT_ONCE: u8 = 0;
/// The channel stays dark for settling_words words of 32 ticks, and gives the light that it owes afterwards.
pub const MILLIGLOW_SETTLING_DARK: u8 = 1;
/// The set point moves with a time constant of settling_ticks and has arrived after settling_words; the difference is made up for.
pub const MILLIGLOW_SETTLING_BOOKED: u8 = 2;

/// What an operating table is made of.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct TableSetting {
    /// Rows in the order of their light; they are copied.
    pub rows: *const RowSetting,
    /// 1 to 8.
    pub row_count: u32,
    /// The length of a tick in picoseconds, above 0; or in any unit that the times of the rows' edges are in as well.
    pub tick_ps: u32,
    /// A row is left downwards 2^-hysteresis_shift of its light below where it begins; 1 to 15.
    pub hysteresis_shift: u8,
    /// MILLIGLOW_SETTLING_...
    pub settling: u8,
    /// See there.
    pub settling_ticks: u16,
    /// See there.
    pub settling_words: u8,
    /// The modulation of the channels that use the table.
    pub modulation: Modulation,
}

impl TableSetting {
    fn settling(&self) -> Result<Settling, i32> {
        let (ticks, words) = (self.settling_ticks, self.settling_words);
        match self.settling {
            MILLIGLOW_SETTLING_AT_ONCE => Ok(Settling::AtOnce),
            MILLIGLOW_SETTLING_DARK => Ok(Settling::Dark { words }),
            MILLIGLOW_SETTLING_BOOKED => Ok(Settling::Booked { ticks, words }),
            _ => Err(MILLIGLOW_ERROR_SETTLING),
        }
    }

    fn made(&self, settings: &[RowSetting]) -> Result<Table, i32> {
        let modulation = self.modulation.made()?;
        let settling = self.settling()?;
        let mut rows = [Row::PLAIN; operating::Table::MOST_ROWS];
        for (row, setting) in rows.iter_mut().zip(settings) {
            *row = setting.made(self.tick_ps, modulation).map_err(code)?;
        }
        let rows = rows.get(..settings.len()).ok_or(MILLIGLOW_ERROR_ROWS)?;
        let table = operating::Table::new(rows, self.hysteresis_shift).map_err(code)?;
        Ok(Table(table.with_settling(settling)))
    }
}

/// Makes an operating table in memory of at least MILLIGLOW_TABLE_BYTES, aligned to MILLIGLOW_ALIGNMENT; its handle goes to `table`.
/// It divides: for set-up. The memory must not be touched while a luminaire uses the table. For any context.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_table_init(
    memory: *mut u8,
    bytes: usize,
    setting: *const TableSetting,
    table: *mut *mut Table,
) -> i32 {
    // SAFETY: valid by the header.
    status(unsafe { init(memory, bytes, setting, table) })
}

unsafe fn init(
    memory: *mut u8,
    bytes: usize,
    setting: *const TableSetting,
    table: *mut *mut Table,
) -> Result<(), i32> {
    // SAFETY: valid by the header, or NULL.
    unsafe {
        let place = memory::place(memory, bytes)?;
        let (setting, handle) = (memory::shared(setting)?, memory::exclusive(table)?);
        if setting.row_count as usize > operating::Table::MOST_ROWS {
            return Err(MILLIGLOW_ERROR_ROWS);
        }
        let rows = memory::slice(setting.rows, setting.row_count as usize)?;
        memory::put(place, setting.made(rows)?, handle);
    }
    Ok(())
}
