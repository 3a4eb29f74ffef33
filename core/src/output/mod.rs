//! The stream in the form that a peripheral takes.
//!
//! Modulators give words of 32 ticks, the earliest in the most significant bit. From these come
//!
//! | Output | Form | RAM a tick |
//! |---|---|---|
//! | SPI or another shift output, one a channel | [`BitOrder`]: words or bytes, either bit first | 1 bit a channel |
//! | DMA to a GPIO port | [`port_words`], [`port_ticks`], [`set_reset_words`]: a word a tick, a bit a channel | 8, 16 or 32 bits in all |
//! | timer with compare and reload, one a channel | [`RunLengths`]: ticks on and off | 32 bits a pulse |
//! | timer PWM | [`Duties`]: a compare value a period | |
//!
//! All say the same, tick by tick. [`Luminaire::fill_port`](crate::luminaire::Luminaire::fill_port) fills a port's buffer, dim channels for a fraction. [`SentHalves`] and [`Refill`] tell which half of a buffer is to be filled while a DMA sends the
//! other. Feature `embedded-hal`: `set_duty` for pins with PWM, `write_bytes` and `write_words` for SPI.

mod bit_order;
mod duties;
mod port;
#[cfg(feature = "embedded-hal")]
mod pwm;
mod refill;
mod run_lengths;
#[cfg(feature = "embedded-hal")]
mod spi;
mod transpose;

pub use bit_order::BitOrder;
pub use duties::Duties;
pub use port::{PortWord, port_ticks, port_words, set_reset, set_reset_words};
#[cfg(feature = "embedded-hal")]
pub use pwm::set_duty;
pub use refill::{Half, Refill, SentHalves};
pub use run_lengths::{Run, RunLengths};
#[cfg(feature = "embedded-hal")]
pub use spi::{write_bytes, write_words};
