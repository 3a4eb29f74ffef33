//! What edges take from a light, and the density that gives it back: the arithmetic in double precision, for reference.

/// What the edges of a run of ones cost, over the shortest run; below 0 they win.
///
/// A first-order stream has `min(a, 1 - a)` runs a decision, so that density d gives the light `d - g min(d, 1 - d)`:
/// a pure gain up to half density, a kink there, exact at both ends. *Range*: -1 < g < 1, else a pulse gives no light, or
/// a gap no dark. *Holds* where edges leave the shortest pulse and gap whole ([`Gated::edge_loss`](super::Gated::edge_loss)
/// is known); a pulse shorter than its rise is a triangle, and its light no longer in proportion.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EdgeCorrection {
    g: f64,
}

/// The times of a driver's edges, in seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EdgeTimes {
    /// Rise time, 0 to full current.
    pub rise_s: f64,
    /// Fall time, full current to 0.
    pub fall_s: f64,
    /// From a rising stream to the begin of the rise.
    pub turn_on_delay_s: f64,
    /// From a falling stream to the begin of the fall.
    pub turn_off_delay_s: f64,
    /// Charge that each turn-on takes, over the full current.
    pub turn_on_charge_s: f64,
}

impl EdgeCorrection {
    /// For edges that take `g` of a decision, `-1 < g < 1`; none outside.
    #[must_use]
    pub fn new(g: f64) -> Option<Self> {
        (g.abs() < 1.0).then_some(Self { g })
    }

    /// For these times at `stretch` ticks of `tick_s` seconds a decision: `g = ((rise - fall) / 2 + turn-on delay -
    /// turn-off delay + turn-on charge) / (stretch x tick)`; none unless -1 < g < 1.
    #[must_use]
    pub fn of_times(times: EdgeTimes, tick_s: f64, stretch: u32) -> Option<Self> {
        let lost_s = (times.rise_s - times.fall_s) / 2.0 + times.turn_on_delay_s
            - times.turn_off_delay_s
            + times.turn_on_charge_s;
        Self::new(lost_s / (f64::from(stretch) * tick_s))
    }

    /// The part of a decision that edges take.
    #[must_use]
    pub fn g(self) -> f64 {
        self.g
    }

    /// The density, 0 to 1, that gives a light of 0 to 1: `a / (1 - g)` up to `(1 - g) / 2`, `(a + g) / (1 + g)` above.
    #[must_use]
    pub fn density_for_light(self, light: f64) -> f64 {
        if light <= (1.0 - self.g) / 2.0 {
            light / (1.0 - self.g)
        } else {
            (light + self.g) / (1.0 + self.g)
        }
    }

    /// The light, 0 to 1, that a first-order stream of this density gives.
    #[must_use]
    pub fn light_of_density(self, density: f64) -> f64 {
        density - self.g * density.min(1.0 - density)
    }
}
