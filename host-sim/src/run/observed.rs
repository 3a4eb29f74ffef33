//! What a run leaves behind for the metrics, the plots and the traces: bounded in size whatever the duration.

/// Everything that `check` saw.
#[derive(Clone, Debug, PartialEq)]
pub struct Observed {
    /// The curve, sampled: Level and light (fraction of full), rising.
    pub curve: Vec<(u16, f64)>,
    /// Each recipe held at each test light, recipe by recipe, brightest light first.
    pub holds: Vec<Hold>,
    /// The script, thinned to at most 2 000 moments; empty without a script.
    pub script: Vec<Moment>,
    /// Script entries with their begin and end, for labels.
    pub fades: Vec<FadeSpan>,
    /// Pulse rate of each channel over steady light, for each recipe.
    pub pulse_rates: Vec<PulseRates>,
}

/// One recipe held at one light.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// Index of the recipe.
    pub recipe: usize,
    /// The light asked for, as a fraction of full.
    pub light: f64,
    /// The Level that stands nearest below or at it.
    pub level: u16,
    /// Ticks stepped.
    pub ticks: u64,
    /// One entry a channel.
    pub channels: Vec<HeldChannel>,
}

/// One channel of a [`Hold`].
#[derive(Clone, Debug, PartialEq)]
pub struct HeldChannel {
    /// Density asked for: ideal curve x share, as a fraction.
    pub target: f64,
    /// Ones counted.
    pub ones: u64,
    /// Pulses (runs of ones) counted.
    pub pulses: u64,
    /// Longest run of zeros seen, in ticks, from the first one on.
    pub longest_dark_ticks: u64,
    /// The first words of the stream; the most significant bit is the earliest tick.
    pub first_words: Vec<u32>,
}

/// One control step of the script.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// Seconds from the begin of the script.
    pub time_s: f64,
    /// Level at this control step.
    pub level: u16,
    /// Flux of all channels, counted from the streams of this control step, in lm.
    pub flux_lm: f64,
    /// Flux that an ideal, unquantised fade would give, in lm.
    pub asked_flux_lm: f64,
    /// Density of each channel.
    pub densities: Vec<f64>,
    /// Chromaticity u', v' from the densities; none when dark.
    pub uv: Option<(f64, f64)>,
}

/// When a fade of the script ran.
#[derive(Clone, Debug, PartialEq)]
pub struct FadeSpan {
    /// Index of the recipe it went to.
    pub recipe: usize,
    /// Level it went to.
    pub level: u16,
    /// Begin in seconds.
    pub begin_s: f64,
    /// End in seconds.
    pub end_s: f64,
}

/// Pulse rate against light for one recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct PulseRates {
    /// Index of the recipe.
    pub recipe: usize,
    /// Light (fraction of full) and the pulse rate of each channel in Hz (0 for a channel that the recipe leaves dark).
    pub rows: Vec<(f64, Vec<f64>)>,
}
