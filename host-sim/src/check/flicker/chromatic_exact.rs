//! Chromatic flicker of channels in closed form.

use super::chromatic::{BAND, shift, tristimulus};
use crate::colour::Xy;
use crate::metrics::flicker::Line;
use crate::optics::{PhasedLine, SteadyChannel, steady_lines};

/// Lines in delta u'v', as they are, of channels of these chromaticities.
pub(super) fn exact(colours: &[Xy], channels: &[SteadyChannel], tick_hz: f64) -> Vec<Line> {
    let weights: Vec<_> = colours.iter().map(|&xy| tristimulus(xy)).collect();
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
    frequencies(&parts)
        .into_iter()
        .map(|hertz| swing(&parts, hertz))
        .collect()
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
    let mean = parts.each_ref().map(|part| part.mean);
    let swings = parts.each_ref().map(|part| part.at(hertz));
    let squared = (0..2).map(|k| {
        let [du, dv] = shift(mean, swings.map(|swing| swing[k]));
        du * du + dv * dv
    });
    Line {
        frequency_hz: hertz,
        amplitude: squared.sum::<f64>().sqrt(),
    }
}

#[cfg(test)]
mod tests {
    use super::exact;
    use crate::colour::Xy;
    use crate::description::{BUILT_IN, Description, parse};
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

    fn lines(cove: &Description, densities: [u32; 5]) -> Vec<crate::metrics::flicker::Line> {
        let colours = cove.channels.iter().map(|channel| Xy {
            x: channel.x,
            y: channel.y,
        });
        let colours: Vec<_> = colours.collect();
        exact(&colours, &channels(densities), f64::from(cove.tick_hz))
    }

    /// One channel alone keeps its colour while it pulses; two that take turns do not.
    #[test]
    fn only_a_mixture_swings_in_colour() {
        let cove = parse(BUILT_IN, "built in").unwrap();
        let strongest = |densities| {
            let lines = lines(&cove, densities);
            lines
                .into_iter()
                .map(|line| line.amplitude)
                .fold(0.0, f64::max)
        };
        // 1 / 4096 of 750 kHz pulses at 183 Hz.
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
            let lines = lines(&cove, densities);
            let pulses = lines
                .into_iter()
                .find(|line| (line.frequency_hz - 183.1).abs() < 1.0);
            let amplitude = pulses.expect("the pulses").amplitude;
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
