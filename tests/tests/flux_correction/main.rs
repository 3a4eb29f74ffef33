//! Flux correction: shares over fluxes, junctions that warm, caps, lost temperatures, refusals.

mod caps;
mod exact;
mod junctions;
mod refused;

use milliglow::flux_correction::{Channel, Factor, FluxTable, Heating, Temperature};

fn celsius(celsius: f64) -> Temperature {
    Temperature::from_millicelsius_nearest((celsius * 1_000.0).round() as i32).unwrap()
}

fn factor(factor: f64) -> Factor {
    Factor::from_ratio_nearest((factor * 1e6).round() as u32, 1_000_000).unwrap()
}

fn table(knots: &[(f64, f64)]) -> FluxTable {
    let knots: Vec<_> = knots
        .iter()
        .map(|&(at, flux)| (celsius(at), factor(flux)))
        .collect();
    FluxTable::new(&knots).unwrap()
}

/// A channel of 3 W and 10 K/W: 30 K at full.
fn channel(knots: &[(f64, f64)], bin: f64, time_constant_ms: u32) -> Channel {
    let heating = Heating {
        milliwatts: 3_000,
        millikelvin_per_watt: 10_000,
        time_constant_ms,
    };
    Channel::new(table(knots), factor(bin), heating).unwrap()
}
