//! The ways of dimming that are laid side by side: the same luminaire, drivers and clock.

use crate::description::{Description, Modulation, OperatingRow};

/// A way of dimming, as a luminaire.
pub(super) struct Way {
    pub(super) name: String,
    pub(super) luminaire: Description,
}

/// Fewest pulses a second that a timer is given, by its number of bits.
const TIMER_HZ: f64 = 1_000.0;
/// Pulses of a stretched stream, a second, that rows leave it: IEEE 1789-2015 no effect ends at 3 kHz.
const STRETCHED_HZ: f64 = 3_000.0;
/// The ratio of a lower set point where neither rows nor `[hardware]` say one.
const RATIO: f64 = 10.0;

/// Every way but the set point's, the file's own first.
pub(super) fn ways(file: &Description) -> Vec<Way> {
    let bits = timer_bits(file);
    let timer = |order, width_shift| Modulation::Timer {
        bits,
        order,
        width_shift,
    };
    let first = Modulation::FirstOrder;
    let ratio = ratio(file);
    let plain = |name: &str, modulation| way(file, name, modulation, &[OperatingRow::PLAIN]);
    vec![
        Way {
            name: "this file".to_owned(),
            luminaire: without_names(file),
        },
        plain(&format!("PWM, {bits} bits"), timer(0, None)),
        plain(&format!("dithered PWM, {bits} bits"), timer(1, Some(0))),
        plain("first order", first),
        plain(
            "first order, dithered",
            Modulation::Dithered { width_shift: 0 },
        ),
        plain("second order", Modulation::SecondOrder),
        way(file, "stretched", first, &stretched(file)),
        way(
            file,
            &format!("two ranges, 1 to {ratio}"),
            first,
            &two_ranges(ratio),
        ),
    ]
}

fn without_names(file: &Description) -> Description {
    let mut luminaire = file.clone();
    luminaire.operating.lowest_light = 0.0;
    luminaire
}

fn way(file: &Description, name: &str, modulation: Modulation, rows: &[OperatingRow]) -> Way {
    let mut luminaire = without_names(file);
    for channel in &mut luminaire.channels {
        channel.modulation = modulation;
        channel.rows = rows.to_vec();
    }
    Way {
        name: name.to_owned(),
        luminaire,
    }
}

/// As fine as leaves it 1 kHz, 8 to 16; the file's own where it has a timer.
pub(super) fn timer_bits(file: &Description) -> u8 {
    let own = file
        .channels
        .iter()
        .find_map(|channel| match channel.modulation {
            Modulation::Timer { bits, .. } => Some(bits),
            _ => None,
        });
    let finest = (f64::from(file.tick_hz) / TIMER_HZ).log2().floor();
    own.unwrap_or(finest.clamp(8.0, 16.0) as u8)
}

/// The largest ratio of the file's rows, or what `[hardware]` offers.
fn ratio(file: &Description) -> f64 {
    let rows = file.channels.iter().flat_map(|channel| &channel.rows);
    let own = rows.map(|row| row.range_ratio).fold(1.0, f64::max);
    let offered = own.max(file.hardware.range_ratio_max);
    if offered > 1.0 { offered } else { RATIO }
}

/// From half of what the lower set point reaches on the higher one.
fn two_ranges(ratio: f64) -> [OperatingRow; 2] {
    [
        OperatingRow {
            range_ratio: ratio,
            ..OperatingRow::PLAIN
        },
        OperatingRow {
            from_light: 0.5 / ratio,
            ..OperatingRow::PLAIN
        },
    ]
}

/// Each stretch from the light on at which it leaves enough pulses, hysteresis included.
fn stretched(file: &Description) -> Vec<OperatingRow> {
    let hysteresis = 0.5_f64.powi(file.operating.hysteresis_shift.into());
    let slowest_hz = f64::from(file.tick_hz) * (1.0 - file.tick_tolerance) * (1.0 - hysteresis);
    let rows = [1, 2, 4, 8, 16].map(|stretch| OperatingRow {
        from_light: match stretch {
            1 => 0.0,
            _ => STRETCHED_HZ * f64::from(stretch) / slowest_hz,
        },
        stretch,
        ..OperatingRow::PLAIN
    });
    rows.into_iter()
        .filter(|row| row.from_light < 0.5)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{ratio, stretched, timer_bits, two_ranges, ways};
    use crate::check::one_channel::one_channel;
    use crate::description::Modulation;

    /// 3 kHz at the slowest clock and a hysteresis below; stretches that begin above half of the light are none.
    #[test]
    fn stretches_begin_where_they_leave_enough_pulses() {
        let mut file = one_channel();
        (file.tick_hz, file.tick_tolerance) = (100_000, 0.2);
        file.operating.hysteresis_shift = 2;
        let from = |stretch| 3_000.0 * stretch / (100_000.0 * 0.8 * 0.75);
        let rows: Vec<_> = stretched(&file)
            .iter()
            .map(|row| (row.from_light, row.stretch))
            .collect();
        assert_eq!(
            rows,
            [(0.0, 1), (from(2.0), 2), (from(4.0), 4), (from(8.0), 8)]
        );
    }

    #[test]
    fn the_lower_range_is_left_at_half_of_what_it_reaches() {
        let rows = two_ranges(8.0);
        assert_eq!([rows[0].range_ratio, rows[1].range_ratio], [8.0, 1.0]);
        assert_eq!(rows[1].from_light, 0.5 / 8.0);
    }

    /// What the hardware offers, or the rows, or 10.
    #[test]
    fn the_ratio_is_the_largest_that_there_could_be() {
        let mut file = one_channel();
        assert_eq!(ratio(&file), 10.0);
        file.channels[0].rows[0].range_ratio = 4.0;
        assert_eq!(ratio(&file), 4.0);
        file.hardware.range_ratio_max = 6.0;
        assert_eq!(ratio(&file), 6.0);
    }

    #[test]
    fn a_timer_is_as_fine_as_leaves_it_1_khz() {
        let mut file = one_channel();
        let mut bits = |tick_hz| {
            file.tick_hz = tick_hz;
            timer_bits(&file)
        };
        assert_eq!(
            [
                bits(64_000_000),
                bits(66_000_000),
                bits(1_100_000),
                bits(100_000)
            ],
            [15, 16, 10, 8]
        );
        file.channels[0].modulation = Modulation::Timer {
            bits: 12,
            order: 0,
            width_shift: None,
        };
        assert_eq!(timer_bits(&file), 12);
    }

    /// The lights below it are part of what is compared.
    #[test]
    fn no_way_keeps_a_lowest_light_of_its_own() {
        let mut file = one_channel();
        file.operating.lowest_light = 0.01;
        let mut all = ways(&file).into_iter();
        assert!(all.all(|way| way.luminaire.operating.lowest_light == 0.0));
    }
}
