//! Light that lasts a little longer than its current: phosphors.

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

/// One or two light-decay time constants, applied to the charge of each tick; the rest of the light is prompt.
///
/// An exact one-pole filter of a current that is even over its tick. No light is lost: what is not given off yet is
/// stored. *Cost*: two products a constant and tick.
#[derive(Clone, Debug)]
pub struct LightDecay {
    prompt: f64,
    poles: Vec<Pole>,
}

#[derive(Clone, Copy, Debug)]
struct Pole {
    part: f64,
    /// What a tick leaves of light stored at its begin.
    kept: f64,
    /// What a tick's end has stored of light that came during the tick.
    caught: f64,
    /// Light still to come, in ticks at full current.
    stored: f64,
}

impl LightDecay {
    /// For ticks of `tick_s` seconds.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for more than two constants, for one out of range, and for parts that add up to over 1.
    pub fn new(decays: &[Decay], tick_s: f64) -> Result<Self, DriverError> {
        within("tick", tick_s, 1e-9, 1.0)?;
        within("number of time constants", decays.len() as f64, 0.0, 2.0)?;
        for decay in decays {
            within("part of the light", decay.part, 0.0, 1.0)?;
            within("light-decay time constant", decay.constant_s, 1e-12, 1.0)?;
        }
        let slow: f64 = decays.iter().map(|decay| decay.part).sum();
        within("sum of the parts", slow, 0.0, 1.0)?;
        let pole = |decay: &Decay| {
            let ticks = tick_s / decay.constant_s;
            Pole {
                part: decay.part,
                kept: (-ticks).exp(),
                caught: -(-ticks).exp_m1() / ticks,
                stored: 0.0,
            }
        };
        Ok(Self {
            prompt: 1.0 - slow,
            poles: decays.iter().map(pole).collect(),
        })
    }

    /// The light of the next tick from its charge, both in ticks at full current.
    #[inline]
    pub fn tick(&mut self, charge: f64) -> f64 {
        let mut light = self.prompt * charge;
        for pole in &mut self.poles {
            let came = pole.part * charge;
            let stored = pole.stored * pole.kept + came * pole.caught;
            light += pole.stored + came - stored;
            pole.stored = stored;
        }
        light
    }

    /// Light stored, still to come, in ticks at full current.
    #[must_use]
    pub fn stored(&self) -> f64 {
        self.poles.iter().map(|pole| pole.stored).sum()
    }
}
