//! Every row of the tables of fade times and rates, in the code and on the running gear.

use crate::control_gear::*;
use milliglow::bus::iec62386::{ExtendedFadeTime, FadeRate, FadeTime};
use milliglow_tests::data::rows;

/// Control steps of a fade from 100 to 254 with these settings.
fn measured(code: u8, extended: u8) -> u32 {
    let mut bus = Bus::new();
    bus.level(100);
    bus.set(SET_FADE_TIME, code);
    bus.set(SET_EXTENDED, extended);
    bus.level(254);
    let steps = bus.settle();
    assert_eq!(bus.query(ACTUAL), Some(254));
    steps
}

#[test]
fn fade_times() {
    for row in rows("iec62386_fade.csv") {
        let (code, seconds): (u8, f64) = (row.parsed("code"), row.parsed("fade_time_s_table"));
        let tenths = FadeTime::from_code_saturating(code).tenths().unwrap_or(0);
        assert_eq!(f64::from(tenths) / 10.0, seconds, "code {code}");
        assert_eq!(
            f64::from(measured(code, 0)),
            seconds * f64::from(CONTROL_HZ)
        );
    }
}

#[test]
fn extended_fade_times() {
    for row in rows("iec62386_extended_fade.csv") {
        let (byte, seconds): (u8, f64) = (row.parsed("byte"), row.parsed("fade_time_s"));
        let tenths = ExtendedFadeTime::from_byte(byte).tenths();
        assert_eq!(f64::from(tenths) / 10.0, seconds, "byte {byte}");
        let index: u8 = row.parsed("multiplier_index");
        assert_eq!(index << 4 | row.parsed::<u8>("base_bits"), byte);
        assert_eq!(
            f64::from(measured(0, byte)),
            seconds * f64::from(CONTROL_HZ)
        );
    }
}

/// The extended time counts for code 0 only, and what is reserved is no time.
#[test]
fn which_time_counts() {
    assert_eq!(measured(1, 0x2F), 700);
    for byte in 0x50..=0xFF {
        assert_eq!(ExtendedFadeTime::from_byte(byte).tenths(), 0);
    }
    for code in 16..=255 {
        assert_eq!(FadeTime::from_code_saturating(code).code(), 15);
    }
}

#[test]
fn fade_rates() {
    for row in rows("iec62386_fade.csv") {
        let code: u8 = row.parsed("code");
        if code == 0 {
            assert_eq!(FadeRate::from_code_saturating(0).code(), 1);
            continue;
        }
        let rate: f64 = row.parsed("fade_rate_steps_per_s_table");
        let got = FadeRate::from_code_saturating(code).millilevels_a_second();
        assert_eq!(f64::from(got), (rate * 1000.0).round(), "code {code}");
        let expected: f64 = row.parsed("steps_in_200ms_up_down");
        for (command, sign) in [(UP, 1.0), (DOWN, -1.0)] {
            let moved = sign * moved(code, command);
            // Half of the third decimal, and half a Level.
            let tolerance = 0.0006 + 0.5 / 259.0;
            assert!(
                (moved - expected).abs() <= tolerance,
                "code {code}: {moved}"
            );
        }
    }
}

/// Control levels that a command moves from 157 in 200 ms.
fn moved(rate: u8, command: u8) -> f64 {
    let mut bus = Bus::new();
    bus.level(157);
    bus.set(SET_FADE_RATE, rate);
    let from = bus.gear.level().to_bits();
    bus.command(command);
    assert_eq!(bus.settle(), CONTROL_HZ / 5);
    (f64::from(bus.gear.level().to_bits()) - f64::from(from)) / 259.0
}

/// Repeated while it runs, up goes on at its rate without a jump; at the limit it stops and says so.
#[test]
fn up_repeated() {
    let mut bus = Bus::new();
    bus.level(100);
    let from = bus.gear.level().to_bits();
    for _ in 0..10 {
        bus.command(UP);
        bus.run(100);
    }
    // A second at 44.725 control levels a second, each hundred steps to a Level.
    let moved = f64::from(bus.gear.level().to_bits() - from) / 259.0;
    assert!((moved - 44.725).abs() <= 10.0 / 259.0, "{moved}");
    for _ in 0..40 {
        bus.command(UP);
        bus.run(200);
    }
    assert_eq!(bus.query(ACTUAL), Some(254));
    bus.command(UP);
    assert_eq!((bus.gear.remaining(), bus.query(LIMITED)), (0, Some(255)));
}
