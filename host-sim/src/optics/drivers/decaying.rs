//! The light of a channel tick by tick, some of it late.

use super::error::within;
use super::{DriverError, LightDecay};

/// Makes the light of each tick from its charge.
///
/// An exact one-pole filter for each time constant, of a current that is even over its tick. What is not given off yet is
/// stored. *Cost*: two products a constant and tick.
#[derive(Clone, Debug)]
pub struct DecayingLight {
    prompt: f64,
    poles: Vec<Pole>,
}

#[derive(Clone, Copy, Debug)]
struct Pole {
    part: f64,
    /// Time constant in ticks.
    ticks: f64,
    /// What a tick leaves of light stored at its begin.
    kept: f64,
    /// What a tick's end has stored of light that came during the tick.
    caught: f64,
    /// Light still to come, in ticks at full current.
    stored: f64,
}

impl DecayingLight {
    /// For ticks of `tick_s` seconds; dark so far.
    ///
    /// # Errors
    /// [`DriverError::Figure`] for a tick outside 1 ns to 1 s.
    pub fn new(decay: &LightDecay, tick_s: f64) -> Result<Self, DriverError> {
        within("tick", tick_s, 1e-9, 1.0)?;
        let poles = decay.decays().filter(|decay| decay.part > 0.0);
        let poles = poles.map(|decay| {
            let constants = tick_s / decay.constant_s;
            Pole {
                part: decay.part,
                ticks: constants.recip(),
                kept: (-constants).exp(),
                caught: -(-constants).exp_m1() / constants,
                stored: 0.0,
            }
        });
        Ok(Self {
            prompt: decay.prompt(),
            poles: poles.collect(),
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

    /// As if every tick had always had this charge.
    pub fn settle(&mut self, charge: f64) {
        for pole in &mut self.poles {
            pole.stored = pole.part * charge * pole.ticks;
        }
    }

    /// Whether all light comes at once.
    #[must_use]
    pub fn is_prompt(&self) -> bool {
        self.poles.is_empty()
    }

    /// Light stored, still to come, in ticks at full current.
    #[must_use]
    pub fn stored(&self) -> f64 {
        self.poles.iter().map(|pole| pole.stored).sum()
    }
}
