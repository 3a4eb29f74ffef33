//! What must hold whatever happens, watched in every control step.

use milliglow::Level;
use milliglow::curve::ControlCurve;

use super::ear::Ear;
use super::firmware::Stepping;
use crate::metrics::flashes::FlashWatch;
use crate::metrics::flicker::ieee1789::most_modulation_below_90_hz;
use crate::metrics::flicker::{Samples, spectrum::Spectra};

/// Light whose lines are looked at together.
const WINDOW_S: f64 = 3.0;
/// Lowest sample rate of a flash watch.
const FLASH_HZ: f64 = 400.0;

pub(super) struct Watch {
    rate_hz: f64,
    curve: ControlCurve,
    cd_m2_per_lm: f64,
    limits: (Level, Level),
    last: Level,
    /// When the fade that runs should end, in periods of control steps that were not missed, and whether it has.
    due: Option<f64>,
    window: Vec<f64>,
    spectra: Spectra,
    flashes: FlashWatch,
    pub(super) periods: u64,
    pub(super) outside: u64,
    pub(super) jumps: u64,
    /// Largest time by which a fade ended late or early, in control steps.
    pub(super) off_time: f64,
    pub(super) below_90_hz: f64,
}

impl Watch {
    pub(super) fn new(rate_hz: f64, curve: ControlCurve, cd_m2_per_lm: f64) -> Self {
        Self {
            rate_hz,
            curve,
            cd_m2_per_lm,
            limits: (Level::OFF, Level::FULL),
            last: Level::OFF,
            due: None,
            window: Vec::new(),
            spectra: Spectra::default(),
            flashes: FlashWatch::new(rate_hz.max(FLASH_HZ)),
            periods: 0,
            outside: 0,
            jumps: 0,
            off_time: 0.0,
            below_90_hz: 0.0,
        }
    }

    /// The light begins anew, at its power-on level: no movement is followed.
    pub(super) fn restart(&mut self) {
        (self.last, self.due) = (Level::OFF, None);
        self.window.clear();
    }

    /// A control step that was due so many control steps ago: its Level against its limits, what its movement allows, and its time.
    pub(super) fn step(&mut self, ear: &Ear<'_>, level: Level, stepping: &Stepping, behind: u32) {
        if stepping.jumped || stepping.set_out.is_some() || self.periods.is_multiple_of(64) {
            self.limits = ear.limits(self.curve);
        }
        let (lowest, highest) = self.limits;
        self.outside += u64::from(level != Level::OFF && (level < lowest || level > highest));
        let moved = u32::from(level.to_bits().abs_diff(self.last.to_bits()));
        self.jumps += u64::from(!stepping.jumped && moved > stepping.allowed);
        self.last = level;
        if stepping.jumped {
            self.window.clear();
        }
        self.follow_time(ear.has_ended(), stepping, behind);
    }

    /// A fade should end so many control steps after it set out; one that is cut short has no end.
    fn follow_time(&mut self, has_ended: bool, stepping: &Stepping, behind: u32) {
        let now = self.periods as f64 - f64::from(behind);
        if let Some(steps) = stepping.set_out {
            self.due = Some(now + f64::from(steps) - 1.0);
        } else if stepping.jumped || stepping.cut_short {
            self.due = None;
        }
        if let Some(due) = self.due.filter(|_| has_ended) {
            self.off_time = self.off_time.max((now - due).abs());
            self.due = None;
        }
    }

    /// A period is over: the light that was given, and that of a light without a fault, in lm.
    pub(super) fn period(&mut self, flux_lm: f64, ideal_lm: f64, darkest_lm: f64) {
        self.periods += 1;
        let repeats = (FLASH_HZ / self.rate_hz).ceil().max(1.0) as u32;
        (0..repeats).for_each(|_| self.flashes.see(flux_lm * self.cd_m2_per_lm));
        if ideal_lm < darkest_lm {
            self.window.clear();
            return;
        }
        self.window.push(flux_lm / ideal_lm);
        if self.window.len() as f64 >= WINDOW_S * self.rate_hz {
            let (rate_hz, values) = (self.rate_hz, &self.window[..]);
            let lines = self.spectra.lines(Samples { rate_hz, values });
            let modulation = most_modulation_below_90_hz(&lines.unwrap_or_default());
            self.below_90_hz = self.below_90_hz.max(modulation);
            self.window.clear();
        }
    }

    /// Rate of the fastest four flashes in a row.
    pub(super) fn flashes_hz(&self) -> f64 {
        self.flashes.rate_hz()
    }
}
