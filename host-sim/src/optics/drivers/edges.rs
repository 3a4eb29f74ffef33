//! What the edges of a driver do to a pulse that they leave whole.

/// Edges whose charge adds up: a run of ones of W seconds gives `W - loss`, whatever comes before and after.
///
/// The loss is `turn-on delay + (rise - fall) / 2 - turn-off delay + charge taken at turn-on` for straight edges, time
/// constants in place of half the times for exponential ones: areas of trapezoids.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Edges {
    /// Light lost at a rising edge, in seconds at full current.
    pub(super) up_s: f64,
    /// Light won at a falling edge, in seconds at full current.
    pub(super) down_s: f64,
    /// Drawn at a rising edge without becoming light, in seconds at full current.
    pub(super) taken_s: f64,
    /// Shortest run of ones that is whole, in seconds.
    pub(super) shortest_on_s: f64,
    /// Shortest run of zeros that is whole, in seconds.
    pub(super) shortest_off_s: f64,
    /// Nothing is left of an edge so many seconds after the stream's change.
    pub(super) settled_s: f64,
}

impl Edges {
    /// Of the ideal driver.
    pub(super) const NONE: Self = Self {
        up_s: 0.0,
        down_s: 0.0,
        taken_s: 0.0,
        shortest_on_s: 0.0,
        shortest_off_s: 0.0,
        settled_s: 0.0,
    };

    /// Light lost by a run of ones, in seconds at full current; below 0 it is won.
    pub(super) fn loss_s(&self) -> f64 {
        self.up_s - self.down_s
    }

    /// Whether runs and gaps of so many seconds and more are whole. A relative 1e-12 forgives rounding.
    pub(super) fn leave_whole(&self, seconds: f64) -> bool {
        let seconds = seconds * (1.0 + 1e-12);
        seconds >= self.shortest_on_s && seconds >= self.shortest_off_s
    }
}
