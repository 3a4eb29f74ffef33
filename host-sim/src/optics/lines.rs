//! Fourier lines of a light that stands still, in closed form: nothing is sampled.
//!
//! A first-order stream of density a is the indicator of an arc of length a on a circle that turns by a each tick. Its
//! Fourier coefficients of numbers k = +-1, +-2, ... are lines at k x a tick rates, folded below half the tick rate. With
//! a = p / q in lowest terms they are exactly `sin(pi k p / q) / (q sin(pi k / q))` in size, k up to q / 2: the discrete
//! Fourier transform of the period (Christoffel words; derived here, proved against an FFT). Low lines are those whose
//! k x a comes near a whole number, and lines of large k are weak; only the others are visited.

use std::f64::consts::PI;

use milliglow::density::Density;

use super::drivers::LightDecay;
use super::rotation::NearWhole;
use super::steady_timer::Steady;
use super::timer_lines::timer_parts;
use crate::metrics::flicker::Line;

/// 2^32, the circle in units of density and phase.
pub(super) const CIRCLE: f64 = 4_294_967_296.0;

/// Half the circle.
pub(super) const HALF: i64 = 1 << 31;

/// A line with its phase: `cosine x cos(2 pi f t) + sine x sin(2 pi f t)` beside a mean of 1, t from the first tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhasedLine {
    /// Frequency in Hz.
    pub frequency_hz: f64,
    /// Amplitude of the cosine over the mean.
    pub cosine: f64,
    /// Amplitude of the sine over the mean.
    pub sine: f64,
}

impl PhasedLine {
    /// The line without its phase.
    #[must_use]
    pub fn line(self) -> Line {
        Line {
            frequency_hz: self.frequency_hz,
            amplitude: self.cosine.hypot(self.sine),
        }
    }

    /// What a decay of the light leaves of it.
    #[must_use]
    pub fn decayed(self, decay: &LightDecay) -> Self {
        let (real, imaginary) = decay.response(self.frequency_hz);
        Self {
            cosine: self.cosine * real + self.sine * imaginary,
            sine: self.sine * real - self.cosine * imaginary,
            ..self
        }
    }

    /// The same line on a clock that runs `factor` times as fast: frequencies scale, amplitudes stay.
    #[must_use]
    pub fn at_clock(self, factor: f64) -> Self {
        Self {
            frequency_hz: self.frequency_hz * factor,
            ..self
        }
    }
}

/// Which lines are wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineBand {
    /// Highest frequency in Hz; lines at half the tick rate and above are never given.
    pub below_hz: f64,
    /// Lowest amplitude over the mean; at 0 every line of the period is visited, up to 2^32.
    pub floor: f64,
}

/// A first-order channel that stands still.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteadyChannel {
    /// Density of its stream.
    pub density: Density,
    /// Charge before the first decision, as given to [`FirstOrder::new`](milliglow::density::FirstOrder::new).
    pub phase: u32,
    /// Flux of an unbroken 1, in any one unit (or X or Z in its place).
    pub flux: f64,
    /// Ticks that a decision lasts: 1, 2, 4, 8 or 16.
    pub stretch: u8,
    /// Light that the driver's edges take from each run of ones, in decisions, -1 to 1; taken from its first one, since
    /// edges are far shorter than what is judged.
    pub edge_loss: f64,
    /// Ticks by which all of it is late, 0 to 15.
    pub late_ticks: u8,
    /// How its light decays: lines are weaker and later for it.
    pub decay: LightDecay,
}

impl SteadyChannel {
    /// A decision a tick, no loss at edges, not late, no decay.
    #[must_use]
    pub const fn new(density: Density, phase: u32, flux: f64) -> Self {
        Self {
            density,
            phase,
            flux,
            stretch: 1,
            edge_loss: 0.0,
            late_ticks: 0,
            decay: LightDecay::NONE,
        }
    }

    /// Mean flux.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let ones = self.density.as_f64();
        self.flux * (ones - self.edge_loss * ones.min(1.0 - ones))
    }

    /// Whether ones stand alone: each is a run. Above half density zeros do.
    pub(super) fn ones_stand_alone(&self) -> bool {
        self.density.to_bits() <= 1 << 31
    }
}

/// Lines of first-order channels that shine together on one clock, by rising frequency; none in the dark.
///
/// Lines of several channels on one frequency add up with their phases; frequencies are compared as whole multiples of
/// 2^-36 tick rates, so exactly. *Error*: amplitudes given are exact to 1e-12 plus what weak partners at the same
/// frequency leave out, less than `floor`; no line missing from the band reaches twice the `floor`, or once where no
/// frequency is shared. Together the lines left out have a root sum square of about
/// `below_hz / tick_hz x sqrt(2 floor / (N a))`, a the mean over the flux of all N channels (by even spread of the
/// multiples). *Cost*: about `2 N (below_hz / tick_hz)^2 / (a floor)` lines are visited.
#[must_use]
pub fn steady_lines(channels: &[SteadyChannel], tick_hz: f64, band: LineBand) -> Vec<PhasedLine> {
    let channels: Vec<_> = channels.iter().copied().map(Steady::FirstOrder).collect();
    lines(&channels, tick_hz, band)
}

/// The same for channels of which some may be timers.
///
/// *Cost* of a timer: its multiples below `below_hz`, and beside each `2 / (pi D floor)` lines at most, D its mean duty.
#[must_use]
pub fn lines(channels: &[Steady], tick_hz: f64, band: LineBand) -> Vec<PhasedLine> {
    let mean: f64 = channels.iter().map(Steady::mean).sum();
    if mean <= 0.0 {
        return Vec::new();
    }
    let reach = (band.below_hz / tick_hz).min(0.5) * CIRCLE;
    let floor = band.floor / channels.len() as f64;
    let mut all: Vec<Part> = Vec::new();
    for channel in channels {
        let begin = all.len();
        match channel {
            Steady::FirstOrder(channel) => {
                all.extend(parts(channel, channel.flux / mean, reach, floor));
            }
            Steady::Timer(timer) => {
                all.extend(timer_parts(timer, timer.flux / mean, reach, floor));
            }
        }
        decay(&mut all[begin..], channel.decay(), tick_hz);
    }
    all.sort_unstable_by_key(|part| part.place);
    let lines = all
        .chunk_by(|one, other| one.place == other.place)
        .map(|together| sum(together, tick_hz));
    lines
        .filter(|line| line.line().amplitude >= band.floor)
        .collect()
}

/// Most ticks of a timer's period: 2^16 decisions of 16 ticks.
pub(super) const PLACES: u64 = 1 << 20;

/// What one channel gives to a line.
pub(super) struct Part {
    /// Frequency in units of 2^-32 x 2^-20 tick rates, so that places of all stretches and periods are whole.
    pub(super) place: u64,
    pub(super) cosine: f64,
    pub(super) sine: f64,
}

impl Part {
    fn frequency_hz(&self, tick_hz: f64) -> f64 {
        self.place as f64 / (PLACES as f64 * CIRCLE) * tick_hz
    }
}

/// Lets the light of a channel decay.
fn decay(parts: &mut [Part], decay: &LightDecay, tick_hz: f64) {
    if decay.is_none() {
        return;
    }
    for part in parts {
        let line = sum(std::slice::from_ref(part), tick_hz).decayed(decay);
        (part.cosine, part.sine) = (line.cosine, line.sine);
    }
}

fn sum(parts: &[Part], tick_hz: f64) -> PhasedLine {
    PhasedLine {
        frequency_hz: parts[0].frequency_hz(tick_hz),
        cosine: parts.iter().map(|part| part.cosine).sum(),
        sine: parts.iter().map(|part| part.sine).sum(),
    }
}

/// The lines of a channel within `reach` units of 2^-32 tick rates whose amplitude, `scale` times that of the stream,
/// reaches `floor`.
fn parts(
    channel: &SteadyChannel,
    scale: f64,
    reach: f64,
    floor: f64,
) -> impl Iterator<Item = Part> + use<> {
    let still = matches!(channel.density, Density::NONE | Density::FULL) || scale <= 0.0;
    let arc = Arc::new(channel);
    let reach = (reach * f64::from(channel.stretch)).floor();
    let reach = reach.clamp(0.0, CIRCLE / 2.0 - 1.0) as u32;
    let most = scale * (1.0 + channel.edge_loss.abs());
    let highest = 2.0 * most * (PI * f64::from(reach) / CIRCLE).sin();
    let last = arc.last_above(floor / highest);
    let near = (!still).then(|| NearWhole::new(arc.density, reach));
    near.flatten()
        .into_iter()
        .flatten()
        .take_while(move |&(k, _)| k <= last)
        .map(move |(k, distance)| arc.part(k, distance, 2.0 * scale))
        .filter(move |part| part.cosine.hypot(part.sine) >= floor)
}

/// The arc that a first-order stream indicates, in units of 2^-32.
#[derive(Clone, Copy)]
pub(super) struct Arc {
    density: u32,
    phase: u32,
    /// Greatest common divisor of the density and 2^32: places of the charge, less its constant part, are multiples.
    unit: u64,
    /// Places of a line for each unit of its distance from a whole number of decision rates.
    places: u64,
    /// The stream that comes to light, and the same a decision later.
    now: f64,
    later: f64,
    /// Decisions by which all of it is late.
    late: f64,
}

impl Arc {
    /// Where ones stand alone each loses a part. Where zeros do, a run begins a decision after each zero, so that what edges
    /// take turns with the stream of a decision before.
    pub(super) fn new(channel: &SteadyChannel) -> Self {
        let (density, phase) = (channel.density.to_bits(), channel.phase);
        let unit = 1u64 << density.trailing_zeros();
        let (now, later) = match channel.ones_stand_alone() {
            true => (1.0 - channel.edge_loss, 0.0),
            false => (1.0, channel.edge_loss),
        };
        Self {
            places: PLACES / u64::from(channel.stretch),
            now,
            later,
            late: f64::from(channel.late_ticks) / f64::from(channel.stretch),
            density,
            phase: if unit >> 32 == 0 {
                phase & !(unit as u32 - 1)
            } else {
                0
            },
            unit,
        }
    }

    /// Ticks of a period.
    fn period(&self) -> f64 {
        CIRCLE / self.unit as f64
    }

    /// The last k with `1 / (q sin(pi k / q))` at or above `least`, at most the middle of the period.
    pub(super) fn last_above(&self, least: f64) -> u64 {
        let period = self.period();
        let angle = (1.0 / (period * least)).clamp(0.0, 1.0).asin();
        (period * angle / PI).floor() as u64
    }

    /// The middle of the spectrum, if that is a line: the last coefficient, half a decision rate from a whole number.
    pub(super) fn middle(&self) -> impl Iterator<Item = (u64, i64)> + use<> {
        let period = (1u64 << 32) / self.unit;
        (period > 1).then_some((period / 2, HALF)).into_iter()
    }

    /// Size and, less what lies along a decision, angle of coefficient k.
    pub(super) fn coefficient(&self, k: u64) -> (f64, f64) {
        let half_turns = |units: u64| PI * (k.wrapping_mul(units) & 0x1_FFFF_FFFF) as f64 / CIRCLE;
        let density = u64::from(self.density);
        let size =
            half_turns(density).sin() / (self.period() * (PI * k as f64 / self.period()).sin());
        let angle = half_turns(density + self.unit) + half_turns(2 * u64::from(self.phase));
        (size, angle)
    }

    /// Coefficient k, which falls `distance` from a whole number of decision rates; negative frequencies as their mirror.
    ///
    /// A decision lasts: its light is a step, not an impulse, which turns the line by half of it and weakens it by sinc.
    fn part(&self, k: u64, distance: i64, scale: f64) -> Part {
        let (size, start) = self.coefficient(k);
        let along = PI * distance as f64 / CIRCLE;
        let tick = along.sin() / along;
        let angle = start - along * (1.0 + 2.0 * self.late);
        let amplitude = scale * size * tick;
        let ((sine, cosine), (later_sine, later_cosine)) =
            (angle.sin_cos(), (angle - 2.0 * along).sin_cos());
        Part {
            place: distance.unsigned_abs() * self.places,
            cosine: amplitude * (self.now * cosine + self.later * later_cosine),
            sine: -amplitude
                * (self.now * sine + self.later * later_sine)
                * distance.signum() as f64,
        }
    }
}
