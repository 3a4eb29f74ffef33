//! The built-in luminaire without what makes the bottom of its range work.

use milliglow_sim::description::{BUILT_IN, Description, Operating, OperatingRow, parse};
use milliglow_sim::optics::drivers::Driver;

/// The cove light at 5 MHz, with ideal drivers of one set point.
#[must_use]
pub fn plain_cove() -> Description {
    let mut cove = parse(BUILT_IN, "built in").expect("the built-in luminaire");
    cove.tick_hz = 5_000_000;
    cove.operating = Operating::default();
    for channel in &mut cove.channels {
        channel.driver = Driver::Ideal;
        channel.rows = vec![OperatingRow::PLAIN];
    }
    // Tests leave channels out, which colours on the way have shares of.
    for fade in &mut cove.script {
        fade.through.clear();
    }
    cove
}

/// The same with the first channel alone.
#[must_use]
pub fn one_channel() -> Description {
    let mut cove = plain_cove();
    cove.channels.truncate(1);
    cove.recipes.truncate(1);
    cove.recipes[0].shares = vec![1.0];
    cove
}
