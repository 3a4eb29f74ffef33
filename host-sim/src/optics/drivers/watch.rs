//! Who looks at the curve of a current while it runs.

use super::Corner;

/// Takes corners of the curve.
pub(super) trait Watch {
    /// Whether anyone looks.
    const SEES: bool;

    /// The times of the corners to come count from here, in seconds after the begin of the tick.
    fn begin(&mut self, after_s: f64);

    /// A corner.
    fn see(&mut self, after_s: f64, current: f64);
}

/// Nobody looks.
pub(super) struct Blind;

impl Watch for Blind {
    const SEES: bool = false;
    fn begin(&mut self, _: f64) {}
    fn see(&mut self, _: f64, _: f64) {}
}

/// Adds corners to a list.
pub(super) struct Drawing<'a> {
    corners: &'a mut Vec<Corner>,
    begin_s: f64,
}

impl<'a> Drawing<'a> {
    pub(super) fn on(corners: &'a mut Vec<Corner>) -> Self {
        Self {
            corners,
            begin_s: 0.0,
        }
    }
}

impl Watch for Drawing<'_> {
    const SEES: bool = true;

    fn begin(&mut self, after_s: f64) {
        self.begin_s = after_s;
    }

    fn see(&mut self, after_s: f64, current: f64) {
        let after_s = self.begin_s + after_s;
        self.corners.push(Corner { after_s, current });
    }
}
