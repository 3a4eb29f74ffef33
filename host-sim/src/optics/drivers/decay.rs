//! Light that lasts a little longer than its current: phosphors.

use std::f64::consts::TAU;

use super::DriverError;
use super::error::within;

/// A part of the light that decays with a time constant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Decay {
    /// Part of the light, 0 to 1.
    pub part: f64,
    /// Time constant in seconds, 1 ps to 1 s.
    pub constant_s: f64,
}

/// None, one or two light-decay time constants; the rest of the light is prompt. No light is lost, some of it comes later.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LightDecay([Option<Decay>; 2]);

impl LightDecay {
    /// All light is prompt.
    pub const NONE: Self = Self([None; 2]);

    /// Of these parts of the light.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for more than two constants, for one out of range, and for parts that add up to over 1.
    pub fn new(decays: &[Decay]) -> Result<Self, DriverError> {
        within("number of time constants", decays.len() as f64, 0.0, 2.0)?;
        for decay in decays {
            within("part of the light", decay.part, 0.0, 1.0)?;
            within("light-decay time constant", decay.constant_s, 1e-12, 1.0)?;
        }
        let slow: f64 = decays.iter().map(|decay| decay.part).sum();
        // Parts such as 0.7 and 0.3 may add up to a hair more.
        within("sum of the parts", slow, 0.0, 1.0 + 1e-12)?;
        Ok(Self([decays.first().copied(), decays.get(1).copied()]))
    }

    /// The parts that decay.
    pub fn decays(&self) -> impl Iterator<Item = Decay> + use<> {
        self.0.into_iter().flatten()
    }

    /// Part of the light that comes at once.
    #[must_use]
    pub fn prompt(&self) -> f64 {
        1.0 - self.decays().map(|decay| decay.part).sum::<f64>()
    }

    /// Whether all light comes at once.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.decays().all(|decay| decay.part == 0.0)
    }

    /// The longest time constant in seconds, 0 where all light is prompt.
    #[must_use]
    pub fn longest_s(&self) -> f64 {
        let lit = self.decays().filter(|decay| decay.part > 0.0);
        lit.map(|decay| decay.constant_s).fold(0.0, f64::max)
    }

    /// What a line of a frequency in Hz is multiplied by: real and imaginary part of
    /// `prompt + sum of part / (1 + 2 pi i f tau)`.
    #[must_use]
    pub fn response(&self, hertz: f64) -> (f64, f64) {
        let prompt = (self.prompt(), 0.0);
        self.decays().fold(prompt, |(real, imaginary), decay| {
            let late = TAU * hertz * decay.constant_s;
            let size = decay.part / (1.0 + late * late);
            (real + size, imaginary - size * late)
        })
    }
}
