//! Words out to an SPI, by the traits of `embedded-hal` 1.0 (feature `embedded-hal`).

use embedded_hal::spi::SpiBus;

use super::BitOrder;

/// Words turned at a time, on the stack.
const WORDS: usize = 16;

/// Writes words of 32 ticks to an SPI with frames of 8 bits that sends its frames' bits in this order.
///
/// *Cost*: 64 bytes of stack; the bus is asked to write 64 bytes at a time and may pause between them, so let its FIFO bridge that.
///
/// # Errors
/// The bus's own; how much was sent is then not known.
pub fn write_bytes<S: SpiBus<u8> + ?Sized>(
    bus: &mut S,
    words: &[u32],
    order: BitOrder,
) -> Result<(), S::Error> {
    for block in words.chunks(WORDS) {
        let mut bytes = [[0; 4]; WORDS];
        for (bytes, &word) in bytes.iter_mut().zip(block) {
            *bytes = order.bytes(word);
        }
        let used = 4 * block.len();
        bus.write(bytes.as_flattened().get(..used).unwrap_or(&[]))?;
    }
    bus.flush()
}

/// The same with frames of 32 bits: from the most significant bit in one piece and without a copy.
///
/// # Errors
/// The bus's own; how much was sent is then not known.
pub fn write_words<S: SpiBus<u32> + ?Sized>(
    bus: &mut S,
    words: &[u32],
    order: BitOrder,
) -> Result<(), S::Error> {
    if order == BitOrder::MostSignificantFirst {
        bus.write(words)?;
        return bus.flush();
    }
    for block in words.chunks(WORDS) {
        let mut turned = [0; WORDS];
        for (turned, &word) in turned.iter_mut().zip(block) {
            *turned = order.word(word);
        }
        bus.write(turned.get(..block.len()).unwrap_or(&[]))?;
    }
    bus.flush()
}
