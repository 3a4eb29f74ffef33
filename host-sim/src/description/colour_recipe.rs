//! A colour as shares of the channels: the same at every Level, or a function of it.

use std::borrow::Cow;

/// A colour as relative channel shares.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Recipe {
    /// Name, unique in the luminaire.
    pub name: String,
    /// One share a channel at full light, in channel order, 0 to 1, not all 0.
    pub shares: Vec<f64>,
    /// Shares at Levels, the lowest Level first, 2 to 16; none for a recipe that is the same at every Level.
    pub knots: Vec<Knot>,
}

/// The shares of a recipe at a Level.
#[derive(Clone, Debug, PartialEq)]
pub struct Knot {
    /// Level 0 to 65 535.
    pub level: u16,
    /// One share a channel, in channel order, 0 to 1, not all 0.
    pub shares: Vec<f64>,
}

impl Recipe {
    /// The same at every Level.
    #[must_use]
    pub fn plain(name: impl Into<String>, shares: Vec<f64>) -> Self {
        Self {
            name: name.into(),
            shares,
            knots: Vec::new(),
        }
    }

    /// Through knots, the lowest Level first; `shares` is what they give at full light.
    #[must_use]
    pub fn through(name: impl Into<String>, knots: Vec<Knot>) -> Self {
        let last = knots.last();
        Self {
            name: name.into(),
            shares: last.map_or_else(Vec::new, |last| last.shares.clone()),
            knots,
        }
    }

    /// Whether the colour changes with the Level.
    #[must_use]
    pub fn follows_level(&self) -> bool {
        !self.knots.is_empty()
    }

    /// The shares at a position of 0 to 65 535, whole or between two Levels: straight lines between knots, and the nearest knot
    /// beyond them.
    #[must_use]
    pub fn shares_at(&self, position: f64) -> Cow<'_, [f64]> {
        let is_below = |knot: &Knot| f64::from(knot.level) <= position;
        let above = self.knots.partition_point(is_below);
        match (above.checked_sub(1), self.knots.get(above)) {
            (Some(below), Some(above)) => between(&self.knots[below], above, position).into(),
            (None, Some(first)) => (&first.shares).into(),
            _ => (&self.shares).into(),
        }
    }

    /// One channel of it alone.
    #[must_use]
    pub fn of_channel(&self, channel: usize) -> Self {
        let knot = |knot: &Knot| Knot {
            level: knot.level,
            shares: vec![knot.shares[channel]],
        };
        Self {
            name: self.name.clone(),
            shares: vec![self.shares[channel]],
            knots: self.knots.iter().map(knot).collect(),
        }
    }
}

fn between(below: &Knot, above: &Knot, position: f64) -> Vec<f64> {
    let (from, to) = (f64::from(below.level), f64::from(above.level));
    let part = (position - from) / (to - from);
    let shares = below.shares.iter().zip(&above.shares);
    shares
        .map(|(low, high)| low + (high - low) * part)
        .collect()
}
