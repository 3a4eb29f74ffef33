//! What the flux correction of the cove light knows: its LEDs, invented, and the sensor on their board.

use milliglow::Error;
use milliglow::flux_correction::{Channel, Configuration, Factor, FluxTable, Heating, Temperature};

/// While compiling alone.
const fn allowed<T: Copy>(result: Result<T, Error>) -> T {
    match result {
        Ok(value) => value,
        Err(error) => panic!("{}", error.message()),
    }
}

const fn celsius(degrees: i32) -> Temperature {
    allowed(Temperature::from_millicelsius_nearest(degrees * 1_000))
}

const fn percent(percent: u32) -> Factor {
    allowed(Factor::from_ratio_nearest(percent, 100))
}

/// Flux at 55, 85 and 115 degrees Celsius of the junction, in per cent of that at 25; the bin likewise.
const fn channel(flux: [u32; 3], bin: u32, milliwatts: u32, kelvin_per_watt: u32) -> Channel {
    let table = allowed(FluxTable::new(&[
        (celsius(25), Factor::ONE),
        (celsius(55), percent(flux[0])),
        (celsius(85), percent(flux[1])),
        (celsius(115), percent(flux[2])),
    ]));
    let heating = Heating {
        milliwatts,
        millikelvin_per_watt: kelvin_per_watt * 1_000,
        time_constant_ms: 8_000,
    };
    allowed(Channel::new(table, percent(bin), heating))
}

/// A step in 100 ms, 45 degrees Celsius where the sensor says nothing sensible, and 12 W at the most.
pub static CORRECTION: Configuration<5> = const {
    let channels = [
        channel([80, 64, 51], 100, 3_200, 10),
        channel([93, 86, 80], 95, 4_800, 6),
        channel([97, 94, 91], 100, 2_900, 10),
        channel([73, 53, 39], 100, 3_600, 9),
        channel([95, 90, 85], 100, 4_000, 7),
    ];
    let plain = allowed(Configuration::new(channels, 100, celsius(45)));
    allowed(plain.with_power_cap(12_000))
};

/// In place of a sensor: the board warms by half a degree a reading, and every tenth reading is lost.
pub struct Board {
    readings: i32,
}

impl Board {
    /// As warm as the room.
    pub const fn new() -> Self {
        Self { readings: 0 }
    }

    /// The next reading.
    pub fn temperature(&mut self) -> Option<Temperature> {
        self.readings += 1;
        if self.readings % 10 == 0 {
            return None;
        }
        Temperature::from_millicelsius_nearest(25_000 + 500 * self.readings).ok()
    }
}

impl Default for Board {
    fn default() -> Self {
        Self::new()
    }
}
