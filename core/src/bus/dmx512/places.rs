//! Places of lines, which go on beyond what packets can say.

use super::creep::STEP;

/// Room below 0 for lines that go on: values take the middle half of 32 bits.
const ROOM: u32 = 1 << 30;

/// Longest way of a packet on a line that goes on: a step and a half.
pub(super) const LONGEST: u32 = STEP / 4 * 3;

/// Where a line comes to that goes on for so many packets.
pub(super) const fn beyond(place: u32, way: u32, packets: u32) -> u32 {
    place.wrapping_add(way.wrapping_mul(packets))
}

/// No way of three quarters of a packet is longer on a line that goes on; those down wrap.
pub(super) const fn shortened(way: u32) -> u32 {
    let way = way.cast_signed();
    if way.unsigned_abs() <= LONGEST / 4 * 3 {
        way.cast_unsigned()
    } else {
        (LONGEST / 4 * 3).wrapping_mul(way.signum().cast_unsigned())
    }
}

/// Where a value of 32 bits is.
pub(super) const fn inner(value: u32) -> u32 {
    (value >> 1) + ROOM
}

/// Back again; what packets can say is exact, and there is nothing beyond.
pub(super) fn outer(place: u32) -> u32 {
    let value = place.saturating_sub(ROOM).min((1 << 31) - 1);
    value << 1 | (value >> 15 & 1)
}
