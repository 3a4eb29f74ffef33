//! A timer's PWM that stands still, in closed form: a train of pulses of whole decisions, and the decision that error feedback
//! adds in some periods, which come as a first-order stream does.

use milliglow::density::Density;

use super::SteadyChannel;
use super::drivers::LightDecay;

/// A timer whose duty is rounded or fed back to first order, without dither, at a steady density.
///
/// Period n has `whole` ones, and one more where a first-order stream of density `part` and phase `phase` has its n-th one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteadyTimer {
    /// Decisions of a period.
    pub period: u32,
    /// Ones of every period, up to `period`.
    pub whole: u32,
    /// Periods that have one more, over all: none where `whole` is all of the period.
    pub part: Density,
    /// Charge before the first period, in units of 2^-32 decisions.
    pub phase: u32,
    /// Decisions, dark, before the first period.
    pub late_decisions: u32,
    /// Flux of an unbroken 1.
    pub flux: f64,
    /// Ticks that a decision lasts.
    pub stretch: u8,
    /// Light that the driver's edges take from each pulse, in decisions, -1 to 1; taken from its begin.
    pub edge_loss: f64,
    /// Ticks by which all of it is late, 0 to 15.
    pub late_ticks: u8,
    /// How its light decays: lines are weaker and later for it.
    pub decay: LightDecay,
}

impl SteadyTimer {
    /// The decisions that come in some periods, as a stream of a decision a period.
    pub(super) fn feedback(&self) -> SteadyChannel {
        SteadyChannel::new(self.part, self.phase, self.flux)
    }

    /// Ones more before a period.
    fn more_before(&self, period: u64) -> u64 {
        match self.part {
            Density::NONE => 0,
            _ => self.feedback().ones_before(period),
        }
    }

    /// Edge losses of a period of so many ones more: a pulse where there is light, but for unbroken light.
    pub(super) fn losses(&self) -> (f64, f64) {
        let pulse = |ones: u32| f64::from(u8::from(ones > 0 && ones < self.period));
        let more = self.edge_loss * pulse(self.whole + 1);
        (self.edge_loss * pulse(self.whole), more)
    }

    /// Mean flux.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let ((loss, with_more), part) = (self.losses(), self.part.as_f64());
        let ones = f64::from(self.whole) + part - loss * (1.0 - part) - with_more * part;
        self.flux * ones / f64::from(self.period)
    }

    /// Flux x ticks from the first tick to `ticks`, a straight line within each decision; 0 before the first. As if all light
    /// were prompt.
    #[must_use]
    pub fn light_until(&self, ticks: f64) -> f64 {
        let stretch = f64::from(self.stretch);
        let period = f64::from(self.period);
        let late = f64::from(self.late_ticks) + stretch * f64::from(self.late_decisions);
        let decisions = (ticks - late).max(0.0) / stretch;
        let periods = (decisions / period).floor();
        let more = self.more_before(periods as u64);
        let (loss, with_more) = self.losses();
        let before =
            periods * (f64::from(self.whole) - loss) + more as f64 * (1.0 - (with_more - loss));
        let now = self.more_before(periods as u64 + 1) - more;
        let (duty, loss) = match now {
            0 => (f64::from(self.whole), loss),
            _ => (f64::from(self.whole) + 1.0, with_more),
        };
        let lit = (decisions - periods * period).min(duty);
        self.flux * stretch * (before + lit - loss * lit.min(1.0))
    }

    /// Pulses a tick, and the longest dark in ticks.
    #[must_use]
    pub fn pulses(&self) -> (f64, f64) {
        let (period, stretch) = (f64::from(self.period), f64::from(self.stretch));
        match (self.whole, self.part) {
            (whole, _) if whole >= self.period => (0.0, 0.0),
            (0, Density::NONE) => (0.0, f64::INFINITY),
            (0, part) => {
                let apart = (1u64 << 32).div_ceil(u64::from(part.to_bits())) as f64;
                let rate = part.as_f64() / (period * stretch);
                (rate, (apart * period - 1.0) * stretch)
            }
            (whole, _) => (
                1.0 / (period * stretch),
                (period - f64::from(whole)) * stretch,
            ),
        }
    }
}

/// A channel that stands still in closed form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Steady {
    /// A first-order stream.
    FirstOrder(SteadyChannel),
    /// A timer.
    Timer(SteadyTimer),
}

impl Steady {
    /// Mean flux.
    #[must_use]
    pub fn mean(&self) -> f64 {
        match self {
            Self::FirstOrder(channel) => channel.mean(),
            Self::Timer(timer) => timer.mean(),
        }
    }

    /// How its light decays.
    #[must_use]
    pub fn decay(&self) -> &LightDecay {
        match self {
            Self::FirstOrder(channel) => &channel.decay,
            Self::Timer(timer) => &timer.decay,
        }
    }

    /// Flux x ticks from the first tick to `ticks`, as if all light were prompt.
    #[must_use]
    pub fn light_until(&self, ticks: f64) -> f64 {
        match self {
            Self::FirstOrder(channel) => channel.light_until(ticks),
            Self::Timer(timer) => timer.light_until(ticks),
        }
    }

    /// The same with another flux.
    #[must_use]
    pub fn with_flux(self, flux: f64) -> Self {
        match self {
            Self::FirstOrder(channel) => Self::FirstOrder(SteadyChannel { flux, ..channel }),
            Self::Timer(timer) => Self::Timer(SteadyTimer { flux, ..timer }),
        }
    }
}
