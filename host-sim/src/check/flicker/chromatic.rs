//! Chromatic flicker: how far the chromaticity swings at each frequency.
//!
//! Lines of X, Y and Z swing about their means; to first order u' = 4 X / (X + 15 Y + 3 Z) and v' = 9 Y / (X + 15 Y + 3 Z)
//! swing with them. Deep down, where the light is single pulses, that is a measure and no picture of what is seen.

use super::chromatic_exact::exact;
use super::light::Light;
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::flicker::spectrum::{lines, sum_within_1_hz};
use crate::metrics::flicker::{Line, Samples};
use crate::optics::LineBand;

/// SVM ends here, too. Lines that are weak in Y may be strong in Z, so that the floor is low.
pub(super) const BAND: LineBand = LineBand {
    below_hz: 2_000.0,
    floor: 1e-6,
};

/// Frequency and amplitude in delta u'v' of lines 1 Hz wide: exact where every channel has a closed form, otherwise of a
/// record of X, Y and Z from 1 Hz on.
pub(super) fn chromatic_lines(description: &Description, light: &Light) -> Vec<(f64, f64)> {
    let lines = match light.channels() {
        Some(channels) => exact(&light.colours(), &channels, f64::from(description.tick_hz)),
        None => recorded(description, light),
    };
    sum_within_1_hz(&lines)
        .into_iter()
        .map(|line| (line.frequency_hz, line.amplitude))
        .collect()
}

/// Lines of u' and of v', each by itself; what is at one frequency is summed later.
fn recorded(description: &Description, light: &Light) -> Vec<Line> {
    let fluxes = description.channels.iter().map(|channel| channel.flux_lm);
    let weights = light.colours().into_iter().map(tristimulus).zip(fluxes);
    let weights: Vec<_> = weights
        .map(|(xyz, flux)| xyz.map(|part| part * flux))
        .collect();
    let (record, rate_hz) = light.record(&weights);
    let count = record.len() as f64;
    let mean = |k: usize| record.iter().map(|xyz| xyz[k]).sum::<f64>() / count;
    let mean: [f64; 3] = std::array::from_fn(mean);
    if mean[1] <= 0.0 {
        return Vec::new();
    }
    let axis = |axis: usize| {
        // Lines are told of a mean, so that the swing stands on 1.
        let swing =
            |xyz: &[f64; 3]| 1.0 + shift(mean, std::array::from_fn(|k| xyz[k] - mean[k]))[axis];
        let values: Vec<_> = record.iter().map(swing).collect();
        lines(Samples {
            rate_hz,
            values: &values,
        })
        .unwrap_or_default()
    };
    let mut both = [axis(0), axis(1)].concat();
    both.retain(|line| line.frequency_hz <= BAND.below_hz && line.amplitude >= BAND.floor);
    both
}

/// By how much u' and v' shift, to first order, when X, Y and Z do.
pub(super) fn shift([x, y, z]: [f64; 3], [dx, dy, dz]: [f64; 3]) -> [f64; 2] {
    let sum = x + 15.0 * y + 3.0 * z;
    let dsum = dx + 15.0 * dy + 3.0 * dz;
    [
        4.0 * (dx - x * dsum / sum) / sum,
        9.0 * (dy - y * dsum / sum) / sum,
    ]
}

/// X, Y and Z of a lumen.
pub(super) fn tristimulus(Xy { x, y }: Xy) -> [f64; 3] {
    [x / y, 1.0, (1.0 - x - y) / y]
}

#[cfg(test)]
mod tests {
    use super::{chromatic_lines, recorded};
    use crate::check::flicker::chromatic_exact::exact;
    use crate::check::flicker::light::Light;
    use crate::description::{BUILT_IN, LevelChoice, Modulation, OperatingRow, parse};
    use crate::metrics::flicker::Line;
    use crate::metrics::flicker::spectrum::sum_within_1_hz;
    use crate::run::level;

    /// Closed form and record of the same light agree on every line that stands alone.
    #[test]
    fn the_record_has_the_lines_of_the_closed_form() {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        cove.tick_hz = 1_000_000;
        for channel in &mut cove.channels {
            channel.rows = vec![OperatingRow::PLAIN];
        }
        let level = level(&cove, LevelChoice::Light(0.001));
        let light = Light::new(&cove, 0, level);
        let exact = exact(&light.colours(), &light.channels().unwrap(), 1e6);
        let exact = sum_within_1_hz(&exact);
        let recorded = sum_within_1_hz(&recorded(&cove, &light));
        let near = |lines: &[Line], hertz: f64| {
            let near = lines
                .iter()
                .filter(|line| (line.frequency_hz - hertz).abs() < 1.0);
            near.map(|line| line.amplitude).fold(0.0, f64::max)
        };
        // Near 2 kHz the record may tell a line just beyond the end.
        let strong = exact
            .iter()
            .filter(|line| line.amplitude > 1e-3 && line.frequency_hz < 1_990.0);
        let compared: Vec<_> = strong
            .map(|line| {
                (
                    line.frequency_hz,
                    line.amplitude,
                    near(&recorded, line.frequency_hz),
                )
            })
            .collect();
        assert!(compared.len() >= 3, "{compared:?}");
        for (hertz, exact, recorded) in compared {
            assert!(
                (recorded / exact - 1.0).abs() < 0.02,
                "{hertz} Hz: {exact} {recorded}"
            );
        }
    }

    #[test]
    fn a_stream_without_a_closed_form_swings_too() {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        cove.tick_hz = 200_000;
        for channel in &mut cove.channels {
            channel.rows = vec![OperatingRow::PLAIN];
        }
        cove.channels[0].modulation = Modulation::SecondOrder;
        let level = level(&cove, LevelChoice::Light(0.01));
        let lines = chromatic_lines(&cove, &Light::new(&cove, 0, level));
        let strongest = lines.iter().map(|line| line.1).fold(0.0, f64::max);
        assert!(
            strongest > 1e-4 && lines.iter().all(|line| line.0 <= 2_000.0),
            "{strongest}"
        );
    }
}
