//! Words to a bus that keeps a hash of them.

use core::convert::Infallible;

use embedded_hal::spi::{ErrorType, SpiBus};
use milliglow::output::{BitOrder, write_bytes, write_words};

use super::word;
use crate::Hash;
use crate::random::Random;

struct Wire<'h>(&'h mut Hash);

impl ErrorType for Wire<'_> {
    type Error = Infallible;
}

impl<W: Copy + Into<u32> + 'static> SpiBus<W> for Wire<'_> {
    fn write(&mut self, frames: &[W]) -> Result<(), Infallible> {
        self.0.word(frames.len() as u32);
        self.0.words(frames.iter().map(|&frame| frame.into()));
        Ok(())
    }

    fn flush(&mut self) -> Result<(), Infallible> {
        self.0.word(7);
        Ok(())
    }

    fn read(&mut self, _: &mut [W]) -> Result<(), Infallible> {
        Ok(())
    }

    fn transfer(&mut self, _: &mut [W], _: &[W]) -> Result<(), Infallible> {
        Ok(())
    }

    fn transfer_in_place(&mut self, _: &mut [W]) -> Result<(), Infallible> {
        Ok(())
    }
}

pub(super) fn written() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(45));
    for length in 0..40 {
        let words = [(); 40].map(|()| word(&mut random));
        let words = words.get(..length).unwrap_or_default();
        for order in [
            BitOrder::MostSignificantFirst,
            BitOrder::LeastSignificantFirst,
        ] {
            let mut wire = Wire(&mut hash);
            let Ok(()) = write_bytes(&mut wire, words, order);
            let Ok(()) = write_words(&mut wire, words, order);
        }
    }
    hash.value()
}
