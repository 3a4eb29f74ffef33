//! A receiver of ANSI E1.11 (DMX512-A) packets: slots in, smooth values out.
//!
//! A packet arrives whole, as its START code and slots, with the time of its break. Two slots of a 16-bit value are thus always
//! of the same packet. A slot of 8 bits steps by 2.7 % of light on a curve of depth 1 000, 44 times a second at most: a staircase that is seen. See
//! [`Slots`] for how it is smoothed.

mod configuration;
mod creep;
mod layout;
mod lines;
mod output;
mod packet;
mod runs;
mod slots;
mod straight;

pub use configuration::{Configuration, Counts, OnLoss};
pub use layout::{Role, Row, Width};
pub use packet::{LONGEST_US, Refusal, SHORTEST_US, SLOTS};
pub use slots::Slots;
