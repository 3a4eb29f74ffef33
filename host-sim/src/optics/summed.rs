//! Light of ticks summed over time: for streams without a closed form.

/// Light tick by tick, summed. *Memory*: 8 bytes a tick.
#[derive(Clone, Debug)]
pub struct Summed {
    /// Light before each tick, and after the last.
    before: Vec<f64>,
}

impl Summed {
    /// From the light of each tick.
    #[must_use]
    pub fn new(ticks: impl IntoIterator<Item = f64>) -> Self {
        let mut sum = 0.0;
        let sums = ticks.into_iter().map(|light| {
            sum += light;
            sum
        });
        Self {
            before: std::iter::once(0.0).chain(sums).collect(),
        }
    }

    /// Light from the first tick to `ticks`, a straight line within each tick; the time is held within the record.
    #[must_use]
    pub fn light_until(&self, ticks: f64) -> f64 {
        let last = self.before.len() - 1;
        let ticks = ticks.clamp(0.0, last as f64);
        let tick = (ticks as usize).min(last.saturating_sub(1));
        let next = self.before[(tick + 1).min(last)];
        self.before[tick] + (next - self.before[tick]) * (ticks - tick as f64)
    }
}
