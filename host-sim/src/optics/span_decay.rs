//! Light that decays, span by span.

use super::drivers::LightDecay;

/// One-pole filters of the light of each span, by the bilinear transform: up to a quarter of the sample rate, a 64th of the
/// span rate, time constants are right to 0.1 %.
#[derive(Clone, Debug)]
pub(super) struct SpanDecay<const W: usize> {
    prompt: f64,
    poles: Vec<Pole<W>>,
    last: [f64; W],
}

#[derive(Clone, Copy, Debug)]
struct Pole<const W: usize> {
    part: f64,
    /// Twice the time constant, in spans.
    spans: f64,
    light: [f64; W],
}

impl<const W: usize> SpanDecay<W> {
    /// For so many spans a second, dark so far.
    pub(super) fn new(decay: &LightDecay, spans_hz: f64) -> Self {
        let poles = decay.decays().filter(|decay| decay.part > 0.0);
        let poles = poles.map(|decay| Pole {
            part: decay.part,
            spans: 2.0 * decay.constant_s * spans_hz,
            light: [0.0; W],
        });
        Self {
            prompt: decay.prompt(),
            poles: poles.collect(),
            last: [0.0; W],
        }
    }

    /// As if the light had always been so.
    pub(super) fn settle(&mut self, light: [f64; W]) {
        self.last = light;
        self.poles.iter_mut().for_each(|pole| pole.light = light);
    }

    /// What comes of the light of the next span.
    pub(super) fn push(&mut self, light: [f64; W]) -> [f64; W] {
        if self.poles.is_empty() {
            return light;
        }
        let mut sums = light.map(|light| self.prompt * light);
        for pole in &mut self.poles {
            for (w, sum) in sums.iter_mut().enumerate() {
                let came = light[w] + self.last[w];
                pole.light[w] = ((pole.spans - 1.0) * pole.light[w] + came) / (pole.spans + 1.0);
                *sum += pole.part * pole.light[w];
            }
        }
        self.last = light;
        sums
    }
}
