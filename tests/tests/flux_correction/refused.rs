//! What is refused, each by its own error.

use super::{celsius, factor};
use milliglow::Error;
use milliglow::flux_correction::{Channel, Configuration, Factor, FluxTable, Heating, Temperature};

fn knots(celsius_of: &[f64]) -> Result<FluxTable, Error> {
    let knots: Vec<_> = celsius_of
        .iter()
        .map(|&at| (celsius(at), Factor::ONE))
        .collect();
    FluxTable::new(&knots)
}

#[test]
fn tables() {
    let nine: Vec<f64> = (0..9).map(f64::from).collect();
    assert!(knots(&nine[..8]).is_ok());
    for bad in [
        &nine[..],
        &[],
        &[25.0, 25.0],
        &[85.0, 25.0],
        &[25.0, 25.4],
        &[25.0, 60.0, 40.0],
    ] {
        assert_eq!(knots(bad), Err(Error::FluxTable), "{bad:?}");
    }
}

#[test]
fn values() {
    assert!(Factor::from_ratio_nearest(1, 10).is_ok() && Factor::from_ratio_nearest(3, 1).is_ok());
    for (above, below) in [
        (0, 1),
        (99, 1_000),
        (3_001, 1_000),
        (1, 0),
        (u32::MAX, 1),
        (1, u32::MAX),
    ] {
        assert_eq!(Factor::from_ratio_nearest(above, below), Err(Error::Factor));
    }
    for bad in [-60_001, 350_001, i32::MIN, i32::MAX] {
        assert_eq!(
            Temperature::from_millicelsius_nearest(bad),
            Err(Error::Temperature)
        );
    }
    assert_eq!(celsius(-40.0), Temperature::LOWEST_BOARD);
}

#[test]
fn heating() {
    let good = Heating {
        milliwatts: 20_000,
        millikelvin_per_watt: 10_000,
        time_constant_ms: 10,
    };
    let new = |heating| Channel::new(FluxTable::STEADY, factor(1.0), heating);
    assert!(new(good).is_ok());
    for bad in [
        Heating {
            milliwatts: 20_001,
            ..good
        },
        Heating {
            milliwatts: 10_000_001,
            millikelvin_per_watt: 0,
            ..good
        },
        Heating {
            milliwatts: 0,
            millikelvin_per_watt: 1_000_001,
            ..good
        },
        Heating {
            milliwatts: u32::MAX,
            millikelvin_per_watt: u32::MAX,
            ..good
        },
        Heating {
            time_constant_ms: 9,
            ..good
        },
        Heating {
            time_constant_ms: 10_000_001,
            ..good
        },
    ] {
        assert_eq!(new(bad), Err(Error::Heating), "{bad:?}");
    }
}

#[test]
fn configurations() {
    let heating = Heating {
        milliwatts: 10_000,
        millikelvin_per_watt: 0,
        time_constant_ms: 100,
    };
    let channel = Channel::new(FluxTable::STEADY, Factor::ONE, heating).unwrap();
    let new = |period, fallback| Configuration::new([channel; 2], period, celsius(fallback));
    let good = new(100, 150.0).unwrap();
    assert_eq!(new(99, 25.0), Err(Error::CorrectionPeriod));
    assert_eq!(new(10_001, 25.0), Err(Error::CorrectionPeriod));
    assert_eq!(new(100, 150.1), Err(Error::Temperature));
    assert_eq!(new(100, -40.1), Err(Error::Temperature));
    assert!(good.with_power_cap(200).is_ok() && good.with_power_cap(u32::MAX).is_ok());
    assert_eq!(good.with_power_cap(199), Err(Error::PowerCap));
    assert_eq!(good.with_power_cap(0), Err(Error::PowerCap));
}
