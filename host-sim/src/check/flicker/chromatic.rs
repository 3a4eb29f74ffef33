//! Chromatic flicker: how far the chromaticity swings at each frequency.
//!
//! Lines of X, Y and Z swing about their means; to first order u' = 4 X / (X + 15 Y + 3 Z) and v' = 9 Y / (X + 15 Y + 3 Z)
//! swing with them. Deep down, where the light is single pulses, that is a measure and no picture of what is seen.

use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::flicker::Line;
use crate::metrics::flicker::spectrum::sum_within_1_hz;
use crate::optics::{LineBand, PhasedLine, SteadyChannel, steady_lines};

/// SVM ends here, too. Lines that are weak in Y may be strong in Z, so that the floor is low.
const BAND: LineBand = LineBand {
    below_hz: 2_000.0,
    floor: 1e-6,
};

/// Frequency and amplitude in delta u'v' of lines 1 Hz wide.
pub(super) fn chromatic_lines(
    description: &Description,
    channels: &[SteadyChannel],
) -> Vec<(f64, f64)> {
    let tick_hz = f64::from(description.tick_hz);
    let weights = description.channels.iter().map(|channel| {
        tristimulus(Xy {
            x: channel.x,
            y: channel.y,
        })
    });
    let weights: Vec<_> = weights.collect();
    let weighted = |k: usize| -> Vec<_> {
        let scaled = channels.iter().zip(&weights);
        scaled
            .map(|(channel, weight)| SteadyChannel {
                flux: channel.flux * weight[k],
                ..*channel
            })
            .collect()
    };
    let parts: [Part; 3] = std::array::from_fn(|k| Part::new(&weighted(k), tick_hz));
    let lines: Vec<_> = frequencies(&parts)
        .into_iter()
        .map(|hertz| swing(&parts, hertz))
        .collect();
    sum_within_1_hz(&lines)
        .into_iter()
        .map(|line| (line.frequency_hz, line.amplitude))
        .collect()
}

/// X, Y and Z of a lumen.
fn tristimulus(Xy { x, y }: Xy) -> [f64; 3] {
    [x / y, 1.0, (1.0 - x - y) / y]
}

/// X, Y or Z of the light.
struct Part {
    mean: f64,
    lines: Vec<PhasedLine>,
}

impl Part {
    fn new(channels: &[SteadyChannel], tick_hz: f64) -> Self {
        let mean = channels.iter().map(SteadyChannel::mean).sum();
        Self {
            mean,
            lines: steady_lines(channels, tick_hz, BAND),
        }
    }

    /// Cosine and sine at a frequency; lines come in its order.
    fn at(&self, hertz: f64) -> [f64; 2] {
        let found = self
            .lines
            .binary_search_by(|line| line.frequency_hz.total_cmp(&hertz));
        found.map_or([0.0; 2], |k| {
            [
                self.lines[k].cosine * self.mean,
                self.lines[k].sine * self.mean,
            ]
        })
    }
}

fn frequencies(parts: &[Part; 3]) -> Vec<f64> {
    let mut all: Vec<_> = parts
        .iter()
        .flat_map(|part| part.lines.iter().map(|line| line.frequency_hz))
        .collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

fn swing(parts: &[Part; 3], hertz: f64) -> Line {
    let [x, y, z] = parts.each_ref().map(|part| part.mean);
    let sum = x + 15.0 * y + 3.0 * z;
    let [dx, dy, dz] = parts.each_ref().map(|part| part.at(hertz));
    let squared = (0..2).map(|k| {
        let dsum = dx[k] + 15.0 * dy[k] + 3.0 * dz[k];
        let du = 4.0 * (dx[k] - x * dsum / sum) / sum;
        let dv = 9.0 * (dy[k] - y * dsum / sum) / sum;
        du * du + dv * dv
    });
    Line {
        frequency_hz: hertz,
        amplitude: squared.sum::<f64>().sqrt(),
    }
}

#[cfg(test)]
mod tests {
    use super::chromatic_lines;
    use crate::description::{BUILT_IN, parse};
    use crate::optics::SteadyChannel;
    use milliglow::density::Density;

    fn channels(densities: [u32; 5]) -> Vec<SteadyChannel> {
        let cove = parse(BUILT_IN, "built in").unwrap();
        let channel = |(bits, channel): (u32, &crate::description::Channel)| {
            SteadyChannel::new(Density::from_bits(bits), 0, channel.flux_lm)
        };
        densities
            .into_iter()
            .zip(&cove.channels)
            .map(channel)
            .collect()
    }

    /// One channel alone keeps its colour while it pulses; two that take turns do not.
    #[test]
    fn only_a_mixture_swings_in_colour() {
        let cove = parse(BUILT_IN, "built in").unwrap();
        let strongest = |densities| {
            let lines = chromatic_lines(&cove, &channels(densities));
            lines
                .into_iter()
                .map(|(_, amplitude)| amplitude)
                .fold(0.0, f64::max)
        };
        // 1 / 4096 of 5 MHz pulses at 1221 Hz.
        assert!(strongest([1 << 20, 0, 0, 0, 0]) < 1e-12);
        assert!(strongest([1 << 20, 0, 1 << 30, 0, 0]) > 1e-4);
    }

    /// A weak pulsing channel on a steady one: the swing is 2 x the shift that its mean makes, a pulse train's line being
    /// twice its mean.
    #[test]
    fn a_weak_channel_swings_by_twice_its_mean_shift() {
        let cove = parse(BUILT_IN, "built in").unwrap();
        let xy = |k: usize| crate::colour::Xy {
            x: cove.channels[k].x,
            y: cove.channels[k].y,
        };
        // Red moves the colour of green along u', blue along v' as well.
        for (weak, densities) in [
            (0, [1 << 20, u32::MAX, 0, 0, 0]),
            (2, [0, u32::MAX, 1 << 20, 0, 0]),
        ] {
            let lines = chromatic_lines(&cove, &channels(densities));
            let pulses = lines
                .into_iter()
                .find(|line| (line.0 - 1_220.7).abs() < 1.0);
            let amplitude = pulses.expect("the pulses").1;
            let flux = cove.channels[weak].flux_lm / 4_096.0;
            let mixed = crate::colour::mix([(xy(weak), flux), (xy(1), 320.0)]);
            let shift = 2.0 * mixed.expect("light").to_uv().distance(xy(1).to_uv());
            assert!(
                (amplitude / shift - 1.0).abs() < 5e-3,
                "{weak}: {amplitude} of {shift}"
            );
        }
    }
}
