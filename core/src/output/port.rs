//! Words for a DMA that writes a GPIO port once a tick.

use super::transpose::{transpose_4, transpose_8, transpose_16};

/// A word of a port, a bit a channel: `u8` for up to 8 channels, `u16` and `u32` for up to 16.
pub trait PortWord: Copy + sealed::Sealed {
    /// The most channels.
    const CHANNELS: usize;
    /// Ticks in 32 bits of memory.
    #[doc(hidden)]
    const LANES: usize;

    /// 32 ticks into words of memory, as they lie there.
    #[doc(hidden)]
    fn pack(ticks: &[Self; 32], words: &mut [u32]);

    #[doc(hidden)]
    fn from_byte(byte: u8) -> Self;
    #[doc(hidden)]
    fn from_half_word(half_word: u16) -> Self;
}

mod sealed {
    pub trait Sealed {}
    impl Sealed for u8 {}
    impl Sealed for u16 {}
    impl Sealed for u32 {}
}

impl PortWord for u8 {
    const CHANNELS: usize = 8;
    const LANES: usize = 4;

    fn pack(ticks: &[Self; 32], words: &mut [u32]) {
        for (word, &lanes) in words.iter_mut().zip(ticks.as_chunks().0) {
            *word = u32::from_ne_bytes(lanes);
        }
    }

    fn from_byte(byte: u8) -> Self {
        byte
    }

    fn from_half_word(half_word: u16) -> Self {
        half_word as Self
    }
}

impl PortWord for u16 {
    const CHANNELS: usize = 16;
    const LANES: usize = 2;

    fn pack(ticks: &[Self; 32], words: &mut [u32]) {
        for (word, &[first, second]) in words.iter_mut().zip(ticks.as_chunks().0) {
            *word = (u32::from(second) << 16 | u32::from(first)).to_le();
        }
    }

    fn from_byte(byte: u8) -> Self {
        byte.into()
    }

    fn from_half_word(half_word: u16) -> Self {
        half_word
    }
}

impl PortWord for u32 {
    const CHANNELS: usize = 16;
    const LANES: usize = 1;

    fn pack(ticks: &[Self; 32], words: &mut [u32]) {
        for (word, tick) in words.iter_mut().zip(ticks) {
            *word = *tick;
        }
    }

    fn from_byte(byte: u8) -> Self {
        byte.into()
    }

    fn from_half_word(half_word: u16) -> Self {
        half_word.into()
    }
}

/// 32 ticks of N channels as 32 words of a port, the earliest first: bit k is channel k, bits from N on are 0.
///
/// *Range*: N from 1 to [`PortWord::CHANNELS`]; anything else is a compile error. *Cost*: no multiplication, no branch on data, no panic
/// path at any opt-level; the transposition takes 12 exchanges of six instructions for up to 8 channels, 32 beyond.
/// *Interrupts*: pure.
///
/// ```
/// use milliglow::output::port_words;
/// let channels = [0x8000_0000, u32::MAX, 0x0000_0001]; // words of 32 ticks
/// let mut port = [0_u8; 32];
/// port_words(&channels, &mut port);
/// assert_eq!((port[0], port[1], port[31]), (0b011, 0b010, 0b110));
/// ```
pub fn port_words<W: PortWord, const N: usize>(channels: &[u32; N], ticks: &mut [W; 32]) {
    const {
        assert!(
            N >= 1 && N <= W::CHANNELS,
            "a port of u8 holds 1 to 8 channels, one of u16 or u32 holds 1 to 16"
        );
    }
    if N <= 4 {
        of_4(channels, |nibble| W::from_byte(nibble), ticks);
    } else if N <= 8 {
        of_8(channels, |byte, _| W::from_byte(byte), ticks);
    } else if N == 9 {
        of_8(
            channels,
            |byte, bit| W::from_half_word(with_ninth(channels, byte, bit)),
            ticks,
        );
    } else {
        of_16(channels, |half_word| W::from_half_word(half_word), ticks);
    }
}

/// The same from a buffer a channel, 32 ticks a word; ticks beyond the shortest of them are 0.
///
/// ```
/// use milliglow::output::port_ticks;
/// let mut port = [[0_u8; 32]; 2];
/// port_ticks([&[1, 0], &[1, 1 << 31]], &mut port);
/// assert_eq!((port[0][31], port[1][0]), (0b11, 0b10));
/// ```
pub fn port_ticks<W: PortWord, const N: usize>(channels: [&[u32]; N], ticks: &mut [[W; 32]]) {
    let mut channels = channels.map(<[u32]>::iter);
    for block in ticks {
        let words = channels
            .each_mut()
            .map(|words| words.next().copied().unwrap_or(0));
        port_words(&words, block);
    }
}

/// The same for a register that sets and resets pins of a port of 16: a one in the lower half sets its pin, one in the upper half
/// resets it, and pins of no channel are left as they are.
///
/// ```
/// use milliglow::output::set_reset_words;
/// let mut words = [0; 32];
/// set_reset_words(&[0x8000_0000, u32::MAX], &mut words);
/// assert_eq!(words[0], 0x0000_0003); // both on
/// assert_eq!(words[1], 0x0001_0002); // the first off, the second on
/// ```
pub fn set_reset_words<const N: usize>(channels: &[u32; N], ticks: &mut [u32; 32]) {
    const { assert!(N >= 1 && N <= 16, "a port holds 1 to 16 channels") }
    let pins = const { ((1_u32 << N) - 1) as u16 };
    if N <= 8 {
        of_8(channels, |byte, _| set_reset(byte.into(), pins), ticks);
    } else {
        of_16(channels, |half_word| set_reset(half_word, pins), ticks);
    }
}

/// A word for such a register: of these pins, those that are on are set and the others reset.
#[must_use]
#[inline]
pub const fn set_reset(on: u16, pins: u16) -> u32 {
    (on & pins) as u32 | ((!on & pins) as u32) << 16
}

/// Nibbles of the turned rows hold ticks 0 to 3, 4 to 7 and so on, the last of each in the first row.
#[inline(always)]
fn of_4<W>(channels: &[u32], form: impl Fn(u8) -> W, ticks: &mut [W; 32]) {
    let mut rows = [0; 4];
    fill(&mut rows, channels);
    transpose_4(&mut rows);
    let [a, b, c, d] = rows;
    let (fours, _) = ticks.as_chunks_mut::<4>();
    for ([s, t, u, v], lane) in fours.iter_mut().zip([28, 24, 20, 16, 12, 8, 4, 0]) {
        *s = form((d >> lane & 15) as u8);
        *t = form((c >> lane & 15) as u8);
        *u = form((b >> lane & 15) as u8);
        *v = form((a >> lane & 15) as u8);
    }
}

/// Of nine channels the last one's bit joins the byte of the others.
#[inline(always)]
fn with_ninth(channels: &[u32], byte: u8, bit: u32) -> u16 {
    match channels {
        [_, _, _, _, _, _, _, _, ninth, ..] => u16::from(byte) | ((ninth >> bit & 1) << 8) as u16,
        _ => byte.into(),
    }
}

/// Byte lanes of the turned rows hold ticks 0 to 7, 8 to 15 and so on, the last of each in the first row. A byte is given with the place
/// of its tick in the channels' words.
#[inline(always)]
fn of_8<W>(channels: &[u32], form: impl Fn(u8, u32) -> W, ticks: &mut [W; 32]) {
    let mut rows = [0; 8];
    fill(&mut rows, channels);
    transpose_8(&mut rows);
    let (quarters, _) = ticks.as_chunks_mut::<8>();
    for (quarter, lane) in quarters.iter_mut().zip([24, 16, 8, 0]) {
        for ((tick, row), bit) in quarter.iter_mut().rev().zip(&rows).zip(lane..) {
            *tick = form((row >> lane) as u8, bit);
        }
    }
}

/// Half words of the turned rows hold ticks 0 to 15 and 16 to 31, the last of each in the first row.
#[inline(always)]
fn of_16<W>(channels: &[u32], form: impl Fn(u16) -> W, ticks: &mut [W; 32]) {
    let mut rows = [[0; 8]; 2];
    fill(rows.as_flattened_mut(), channels);
    transpose_16(&mut rows);
    let (halves, _) = ticks.as_chunks_mut::<16>();
    for (half, lane) in halves.iter_mut().zip([16, 0]) {
        for (tick, row) in half.iter_mut().rev().zip(rows.as_flattened()) {
            *tick = form((row >> lane) as u16);
        }
    }
}

#[inline(always)]
fn fill(rows: &mut [u32], channels: &[u32]) {
    for (row, &channel) in rows.iter_mut().zip(channels) {
        *row = channel;
    }
}
