//! What a run leaves behind for the metrics, the plots and the traces: bounded in size whatever the duration.

use super::bus::BusSeen;
use super::driving::{Driving, LightErrors, TableOverLight};
use super::warmed::{FadePower, WarmedRecipe};
use crate::colour::White;

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
    /// What was heard on the bus, where one moves the light.
    pub bus: Option<BusSeen>,
    /// Pulse rate of each channel over steady light, for each recipe.
    pub pulse_rates: Vec<PulseRates>,
    /// Flicker of each recipe at each test light, recipe by recipe, brightest light first.
    pub flicker: Vec<Flicker>,
    /// Flicker over steady light, for each recipe.
    pub metric_maps: Vec<MetricMap>,
    /// Bands that each camera would show of each recipe at each of its lights.
    pub bands: Vec<Bands>,
    /// How the drivers work, for each hold.
    pub driving: Vec<Driving>,
    /// Light against the light asked for, for each recipe; empty where edges take nothing.
    pub light_errors: Vec<LightErrors>,
    /// The operating tables.
    pub tables: Vec<TableOverLight>,
    /// How the colour of each recipe dims.
    pub dimming: Vec<Dimming>,
    /// The fades of the script between whites.
    pub white_fades: Vec<WhiteFade>,
    /// What moving things and moving eyes would make of the light: information.
    pub sights: Vec<Sight>,
    /// Each recipe in the warm luminaire; empty where the file says too little of temperatures.
    pub warmed: Vec<WarmedRecipe>,
    /// Power of each fade of the script: information; empty where a channel's power is not known.
    pub fade_powers: Vec<FadePower>,
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
    /// Light asked for, over the channel's full: ideal curve x share.
    pub target: f64,
    /// Mean light that its driver gave, over the channel's full.
    pub light: f64,
    /// Ones counted.
    pub ones: u64,
    /// Ticks of a decision.
    pub stretch: u8,
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

/// The flicker of one recipe at one light. Frequencies are those of the nominal tick rate, unless a figure says that it is
/// the worst of the tick rate's tolerance.
#[derive(Clone, Debug, PartialEq)]
pub struct Flicker {
    /// Index of the recipe.
    pub recipe: usize,
    /// The light asked for, as a fraction of full.
    pub light: f64,
    /// Mean flux in lm.
    pub mean_lm: f64,
    /// Swing of the light as the ticks give it.
    pub raw: Swing,
    /// Swing of the light limited to 20 kHz.
    pub limited: Swing,
    /// Percent flicker below 40, 90, 200, 400 and 1000 Hz by the brick-wall procedure.
    pub filtered_percent: [f64; 5],
    /// Strongest line up to 20 kHz (4 kHz where lines come from a record), if there is any.
    pub dominant_hz: Option<f64>,
    /// SVM, worst of the tolerance.
    pub svm: f64,
    /// PstLM.
    pub pst_lm: f64,
    /// Light that it was read of, in seconds.
    pub pst_lm_s: f64,
    /// Largest Pinst.
    pub pinst_max: f64,
    /// The largest Pinst of each interval.
    pub pinst: Vec<f64>,
    /// Length of these intervals in seconds.
    pub pinst_interval_s: f64,
    /// IEEE 1789 low risk: the worst line, worst of the tolerance; none if no line has a limit.
    pub low_risk: Option<WorstLine>,
    /// IEEE 1789 no effect: likewise.
    pub no_effect: Option<WorstLine>,
    /// Modulation below 90 Hz, as a fraction: what the lines can add up to at most, worst of the tolerance.
    pub below_90_hz: f64,
    /// Temporal visibility, 1 being just seen.
    pub visibility: f64,
    /// The same by the bound of a sensitivity of 500 from 2 to 30 Hz.
    pub visibility_bound: f64,
    /// Phantom array: amplitude over the published threshold that is nearest; information.
    pub phantom_array: Option<f64>,
    /// Chromatic flicker up to 2 kHz: frequency in Hz and amplitude in delta u'v'.
    pub chromatic: Vec<(f64, f64)>,
    /// Lines 1 Hz wide up to 20 kHz: frequency in Hz and amplitude over the mean.
    pub lines: Vec<(f64, f64)>,
    /// The first samples of the light limited to 20 kHz, over the mean.
    pub waveform: Vec<f64>,
    /// Samples a second of `waveform`.
    pub waveform_hz: f64,
}

/// How far light swings.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Swing {
    /// Percent flicker, 0 to 100; above where a filter rings below zero.
    pub percent: f64,
    /// Flicker index, 0 to 1; above likewise.
    pub flicker_index: f64,
}

/// A line against its limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorstLine {
    /// Frequency in Hz.
    pub frequency_hz: f64,
    /// Amplitude over limit.
    pub margin: f64,
}

/// Flicker against light for one recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct MetricMap {
    /// Index of the recipe.
    pub recipe: usize,
    /// Darkest first.
    pub rows: Vec<MetricRow>,
}

/// Flicker at one light, each figure the worst of the tick rate's tolerance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MetricRow {
    /// Light as a fraction of full.
    pub light: f64,
    /// SVM.
    pub svm: f64,
    /// Margin of IEEE 1789 low risk.
    pub low_risk: f64,
    /// Margin of IEEE 1789 no effect.
    pub no_effect: f64,
    /// Modulation below 90 Hz at most, as a fraction.
    pub below_90_hz: f64,
    /// Temporal visibility.
    pub visibility: f64,
    /// What the lines add up to as PstLM: it tells where the meter should look, no more.
    pub slow_flicker: f64,
}

/// The bands that a camera would show.
#[derive(Clone, Debug, PartialEq)]
pub struct Bands {
    /// Index of the camera.
    pub camera: usize,
    /// Index of the recipe.
    pub recipe: usize,
    /// The light, as a fraction of full.
    pub light: f64,
    /// Worst Michelson contrast over the exposure's tolerance and all phases.
    pub contrast: f64,
    /// The exposure that shows it, in seconds.
    pub exposure_s: f64,
    /// Contrast of whole frames, one after the other.
    pub frame_flicker: f64,
    /// The wall as the camera shows it, PNG.
    pub picture: Vec<u8>,
    /// What the picture shows.
    pub caption: String,
}

/// A picture for people: information, no verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Sight {
    /// Index of the recipe.
    pub recipe: usize,
    /// The light, as a fraction of full.
    pub light: f64,
    /// The picture, PNG.
    pub picture: Vec<u8>,
    /// What it shows, with its geometry.
    pub caption: String,
}

/// The colour of one recipe against light: delta u'v' from what it should be, which is its colour at full or, for a recipe
/// that follows the Level, what it asks for there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Dimming {
    /// Index of the recipe.
    pub recipe: usize,
    /// Light (fraction of full) and delta u'v' by the densities and the drivers' edges, rising: the worst of every lit Level
    /// in as many spans of Levels.
    pub rows: Vec<(f64, f64)>,
    /// Light and CCT in K of the colour asked for, where it is a white.
    pub whites: Vec<(f64, f64)>,
    /// At the test lights.
    pub held: Vec<HeldColour>,
    /// The highest light at which a lit Level is more than one n-step off, if any is.
    pub passes_n_step: Option<f64>,
}

/// The colour at a test light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeldColour {
    /// The light asked for, as a fraction of full.
    pub light: f64,
    /// Delta u'v' by the densities and the drivers' edges.
    pub by_densities: f64,
    /// Delta u'v' by the light that the streams gave as they ran; none in the dark.
    pub by_streams: Option<f64>,
}

/// A fade of the script, or one that a bus asked for, from one white to another.
#[derive(Clone, Debug, PartialEq)]
pub struct WhiteFade {
    /// Index of the fade in the script, or among those that the bus asked for.
    pub fade: usize,
    /// When it begins, in s.
    pub begin_s: f64,
    /// The name of the recipe that it goes to.
    pub recipe: String,
    /// How many recipes it goes through.
    pub through: usize,
    /// Where it begins.
    pub from: White,
    /// Where it arrives, or is cut short.
    pub to: White,
    /// The whites on a straight way in channel light, at equal parts of the time; empty where some of it is no white.
    pub straight: Vec<White>,
    /// The same on the way that the fade goes.
    pub along: Vec<White>,
}

impl WhiteFade {
    /// The white of a way that is farthest from the Planckian locus.
    #[must_use]
    pub fn farthest(way: &[White]) -> Option<White> {
        let whites = way.iter().copied();
        whites.max_by(|one, other| one.duv.abs().total_cmp(&other.duv.abs()))
    }
}
