//! A luminaire for tests whose figures have closed forms.

use crate::description::{BUILT_IN, Description, Operating, OperatingRow, parse};
use crate::optics::drivers::{Buck, BuckFigures, Driver};

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

/// A gated buck with peak control, whose comparator is late by `delay_s`.
pub(crate) fn buck(delay_s: f64) -> Driver {
    let figures = BuckFigures {
        supply_v: 24.0,
        string_v: 9.6,
        string_ohm: 2.0,
        diode_v: 0.4,
        inductance_h: 330e-6,
        output_f: 0.0,
        set_a: 0.5,
        off_time_s: 2e-6,
        delay_s,
    };
    Driver::Buck(Buck::new(figures).unwrap())
}
