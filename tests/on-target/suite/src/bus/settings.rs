//! Codes of fade times and rates.

use milliglow::bus::iec62386::{ExtendedFadeTime, FadeRate, FadeTime};

use crate::Hash;

pub(super) fn codes() -> u32 {
    let mut hash = Hash::new();
    for byte in 0..=u8::MAX {
        let time = FadeTime::from_code_saturating(byte);
        let rate = FadeRate::from_code_saturating(byte);
        let extended = ExtendedFadeTime::from_byte(byte);
        hash.words([time.code(), rate.code(), extended.byte()].map(u32::from));
        hash.words([
            time.tenths().map_or(7, u32::from),
            rate.millilevels_a_second(),
            extended.tenths().into(),
        ]);
    }
    hash.value()
}
