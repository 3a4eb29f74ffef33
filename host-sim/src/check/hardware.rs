//! Pulses that come faster: what the hardware that the file declares can do for it.

use crate::description::Description;
use crate::numbers::{grouped, significant};

/// Factors at which something that must pulse faster is tried, each 2 % above the one before, up to a thousandfold.
pub(super) fn factors() -> impl Iterator<Item = f64> {
    const STEP: f64 = 1.02;
    std::iter::successors(Some(STEP), |factor| Some(factor * STEP))
        .take_while(|factor| *factor <= 1_000.0)
}

/// The lowest tick rate or ratio of a second current range at which pulses come `factor` times as often, or that nothing offered
/// would do: a lower range makes up for its current with more pulses.
pub(super) fn faster_pulses(description: &Description, factor: f64) -> String {
    let hardware = description.hardware;
    let tick_hz = f64::from(description.tick_hz);
    let highest = f64::from(hardware.tick_hz_max);
    let rate = rounded_up(tick_hz * factor);
    let rows = description
        .channels
        .iter()
        .flat_map(|channel| &channel.rows);
    let present = rows.map(|row| row.range_ratio).fold(1.0, f64::max);
    let offered = hardware.range_ratio_max / present;
    let ratio = |factor: f64| significant((100.0 * factor * present).ceil() / 100.0, 4);
    let by_rate = (rate <= highest).then(|| format!("raise tick_hz to {} or more", grouped(rate)));
    let by_range = (factor <= offered).then(|| {
        format!(
            "use a current range of 1/{} or less at this light",
            ratio(factor)
        )
    });
    let ways: Vec<_> = [by_rate, by_range].into_iter().flatten().collect();
    let both = factor * tick_hz / highest;
    match ways.is_empty() {
        false => ways.join("; or "),
        true if both <= offered => {
            format!(
                "raise tick_hz to {} and use a current range of 1/{} or less at this light",
                grouped(highest),
                ratio(both)
            )
        }
        true => {
            format!(
                "nothing that [hardware] offers would do: pulses must come {} times as often",
                significant(factor, 3)
            )
        }
    }
}

/// Up to two significant digits, so that the figure is one to write down.
fn rounded_up(hertz: f64) -> f64 {
    let unit = 10f64.powf(hertz.log10().floor() - 1.0);
    (hertz / unit).ceil() * unit
}

#[cfg(test)]
mod tests {
    use super::faster_pulses;
    use crate::description::{BUILT_IN, Hardware, OperatingRow, parse};

    #[test]
    fn advice_stays_within_what_is_offered() {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        cove.tick_hz = 5_000_000;
        for channel in &mut cove.channels {
            channel.rows = vec![OperatingRow::PLAIN];
        }
        let mut advice = |tick_hz_max, range_ratio_max, factor| {
            cove.hardware = Hardware {
                tick_hz_max,
                range_ratio_max,
            };
            faster_pulses(&cove, factor)
        };
        assert_eq!(
            advice(20_000_000, 1.0, 2.5),
            "raise tick_hz to 13_000_000 or more"
        );
        assert_eq!(
            advice(5_000_000, 10.0, 2.5),
            "use a current range of 1/2.5 or less at this light"
        );
        let both =
            "raise tick_hz to 10_000_000 and use a current range of 1/2.5 or less at this light";
        assert_eq!(advice(10_000_000, 4.0, 5.0), both);
        let nothing = "nothing that [hardware] offers would do: pulses must come 5 times as often";
        assert_eq!(advice(10_000_000, 1.0, 5.0), nothing);
        cove.channels[0].rows[0].range_ratio = 8.0;
        cove.hardware.range_ratio_max = 32.0;
        let lower = "raise tick_hz to 10_000_000 or more; or use a current range of 1/16 or less at this light";
        assert_eq!(faster_pulses(&cove, 2.0), lower);
    }
}
