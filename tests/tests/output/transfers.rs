//! Words over an SPI arrive whole and in order.

use std::convert::Infallible;

use embedded_hal::spi::{ErrorType, SpiBus};
use milliglow::output::{BitOrder, write_bytes, write_words};

/// Keeps what was written and whether it was flushed last.
struct Wire<W> {
    written: Vec<W>,
    flushed: bool,
}

impl<W> ErrorType for Wire<W> {
    type Error = Infallible;
}

impl<W: Copy + 'static> SpiBus<W> for Wire<W> {
    fn write(&mut self, words: &[W]) -> Result<(), Infallible> {
        self.written.extend(words);
        self.flushed = false;
        Ok(())
    }

    fn flush(&mut self) -> Result<(), Infallible> {
        self.flushed = true;
        Ok(())
    }

    fn read(&mut self, _: &mut [W]) -> Result<(), Infallible> {
        unreachable!("nothing is read")
    }

    fn transfer(&mut self, _: &mut [W], _: &[W]) -> Result<(), Infallible> {
        unreachable!("nothing is read")
    }

    fn transfer_in_place(&mut self, _: &mut [W]) -> Result<(), Infallible> {
        unreachable!("nothing is read")
    }
}

const ORDERS: [BitOrder; 2] = [
    BitOrder::MostSignificantFirst,
    BitOrder::LeastSignificantFirst,
];

fn words(count: u32) -> Vec<u32> {
    (0..count)
        .map(|k| k.wrapping_mul(0x9E37_79B9) ^ 0x0F1E_2D3C)
        .collect()
}

#[test]
fn bytes_and_words_of_all_lengths() {
    for (count, order) in (0..50).flat_map(|count| ORDERS.map(|order| (count, order))) {
        let sent = words(count);
        let mut wire = Wire {
            written: Vec::<u8>::new(),
            flushed: false,
        };
        write_bytes(&mut wire, &sent, order).expect("infallible");
        let expected: Vec<u8> = sent.iter().flat_map(|&word| order.bytes(word)).collect();
        assert_eq!((wire.written, wire.flushed), (expected, true));

        let mut wire = Wire {
            written: Vec::<u32>::new(),
            flushed: false,
        };
        write_words(&mut wire, &sent, order).expect("infallible");
        let mut expected = sent;
        order.words(&mut expected);
        assert_eq!((wire.written, wire.flushed), (expected, true));
    }
}
