//! A luminaire for tests whose figures have closed forms.

use crate::description::{BUILT_IN, Description, Operating, OperatingRow, parse};
use crate::optics::drivers::Driver;

/// The first channel of the built-in luminaire at 5 MHz, exactly, with an ideal driver of one set point.
pub(crate) fn one_channel() -> Description {
    let mut made = parse(BUILT_IN, "built in").unwrap();
    made.tick_hz = 5_000_000;
    made.tick_tolerance = 0.0;
    made.operating = Operating::default();
    made.channels.truncate(1);
    made.channels[0].driver = Driver::Ideal;
    made.channels[0].rows = vec![OperatingRow::PLAIN];
    made.recipes.truncate(1);
    made.recipes[0].shares = vec![1.0];
    made.script.clear();
    made.cameras.clear();
    made
}
