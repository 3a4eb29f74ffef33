//! How drivers work at a light: what is told of them without being judged.

/// The drivers of a luminaire at one light of a recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct Driving {
    /// Index of the recipe.
    pub recipe: usize,
    /// The light asked for, as a fraction of full.
    pub light: f64,
    /// One entry a channel.
    pub channels: Vec<DrivingChannel>,
    /// What all of them draw, the channels' phases spread as the core spreads them.
    pub spread: SupplyCurrent,
    /// The same as if all channels pulsed on the same tick.
    pub together: SupplyCurrent,
}

/// One channel of a [`Driving`].
#[derive(Clone, Debug, PartialEq)]
pub struct DrivingChannel {
    /// Number of its row.
    pub row: usize,
    /// Rising and falling edges of its stream a second, at the nominal tick rate.
    pub edges_hz: f64,
    /// Its shortest pulse in seconds at the nominal tick rate; none if it is dark or an unbroken 1.
    pub shortest_pulse_s: Option<f64>,
    /// Relative error of its mean light with the edges' light given back, and without; none if it is dark.
    pub error: Option<EdgeError>,
    /// Its current about a pulse; none if it is dark or pulses too rarely.
    pub zoom: Option<Zoom>,
}

/// Relative error of a mean light, with the edges' light given back and without.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeError {
    /// With.
    pub corrected: f64,
    /// Without.
    pub uncorrected: f64,
}

/// What drivers draw from their supply, over what they draw at full light.
///
/// Channels count by their powers, or the same where one says none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SupplyCurrent {
    /// Highest mean of a tick, from waking on.
    pub peak: f64,
    /// (highest - lowest) / (highest + lowest) of the ticks.
    pub modulation: f64,
    /// Root mean square of what it strays from its mean, over the mean.
    pub ripple: f64,
    /// Lines from 20 Hz to 20 kHz, 1 Hz wide: frequency in Hz and amplitude over the mean.
    pub lines: Vec<(f64, f64)>,
}

/// Some ticks about a pulse.
#[derive(Clone, Debug, PartialEq)]
pub struct Zoom {
    /// Seconds shown.
    pub seconds: f64,
    /// When the stream is 1: begin and end in seconds.
    pub ones: Vec<(f64, f64)>,
    /// The current: seconds, and over the full one of the set point in force. Straight lines between.
    pub current: Vec<(f64, f64)>,
}

/// Light against the light asked for, for one recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct LightErrors {
    /// Index of the recipe.
    pub recipe: usize,
    /// Light as a fraction of full, darkest first, and the errors of the worst channel there.
    pub rows: Vec<(f64, EdgeError)>,
}

/// A row of an operating table over the light of its channel.
#[derive(Clone, Debug, PartialEq)]
pub struct RowOverLight {
    /// Full light of the channel over that of the range.
    pub range_ratio: f64,
    /// Ticks a decision.
    pub stretch: u8,
    /// Channel light, and pulses a second there.
    pub pulse_rates: Vec<(f64, f64)>,
}

/// The operating table that some channels have in common, over the light of a channel.
#[derive(Clone, Debug, PartialEq)]
pub struct TableOverLight {
    /// Numbers of the channels.
    pub channels: Vec<usize>,
    /// The rows; where hysteresis keeps a row in force, it overlaps the one above.
    pub rows: Vec<RowOverLight>,
}

impl SupplyCurrent {
    /// Frequency in Hz and amplitude over the mean of the strongest line, if there is any.
    #[must_use]
    pub fn strongest_line(&self) -> Option<(f64, f64)> {
        let lines = self.lines.iter().copied();
        lines.max_by(|one, other| one.1.total_cmp(&other.1))
    }
}
