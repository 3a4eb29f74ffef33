//! The channels that a colour is mixed from.

use super::super::{Gamut, N_STEP, Xy, is_real, mix};
use super::Refused;

/// Channels of a luminaire at most.
pub const MOST_CHANNELS: usize = 16;

/// A gamut narrower than this in u'v', a tenth of an n-step, is a line, and a shorter line is a single colour.
const NARROWEST: f64 = N_STEP / 10.0;

/// One channel at full drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Primary {
    /// Its name, for messages.
    pub name: String,
    /// Its chromaticity.
    pub light: Xy,
    /// Its flux in lm, above 0.
    pub flux_lm: f64,
    /// Its electrical power in W, if known.
    pub power_w: Option<f64>,
}

/// Channels from which colours can be mixed: checked once.
#[derive(Clone, Debug, PartialEq)]
pub struct Primaries {
    channels: Vec<Primary>,
    gamut: Gamut,
}

/// What shares of the channels give together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mixture {
    /// Chromaticity; none in the dark.
    pub light: Option<Xy>,
    /// Flux in lm.
    pub flux_lm: f64,
    /// Electrical power in W, if it is known of every channel that is lit.
    pub power_w: Option<f64>,
}

impl Primaries {
    /// Checks the channels.
    ///
    /// # Errors
    /// [`Refused`] for none or more than 16, one that is no real light or gives no flux, and for several that have one
    /// chromaticity or, three or more, lie on one line.
    pub fn new(channels: Vec<Primary>) -> Result<Self, Refused> {
        if channels.is_empty() || channels.len() > MOST_CHANNELS {
            return Err(Refused::Channels(channels.len()));
        }
        channels.iter().try_for_each(sound)?;
        let gamut = Gamut::of(channels.iter().map(|channel| channel.light.to_uv()));
        spread(&gamut, channels.len())?;
        Ok(Self { channels, gamut })
    }

    /// The channels.
    #[must_use]
    pub fn channels(&self) -> &[Primary] {
        &self.channels
    }

    /// Every chromaticity that they can give.
    #[must_use]
    pub fn gamut(&self) -> &Gamut {
        &self.gamut
    }

    /// What shares give together, one share a channel.
    #[must_use]
    pub fn mixture(&self, shares: &[f64]) -> Mixture {
        let lit = || self.channels.iter().zip(shares);
        let lights = lit().map(|(channel, share)| (channel.light, channel.flux_lm * share));
        let powers = lit().filter(|(_, share)| **share > 0.0);
        Mixture {
            light: mix(lights.clone()),
            flux_lm: lights.map(|(_, flux_lm)| flux_lm).sum(),
            power_w: powers
                .map(|(channel, share)| Some(channel.power_w? * share))
                .sum(),
        }
    }
}

fn sound(channel: &Primary) -> Result<(), Refused> {
    let Xy { x, y } = channel.light;
    if !(y > 0.0 && x.is_finite() && is_real(channel.light)) {
        return Err(Refused::ChannelColour(channel.name.clone()));
    }
    if !(channel.flux_lm > 0.0 && channel.flux_lm.is_finite()) {
        return Err(Refused::ChannelFlux(channel.name.clone()));
    }
    Ok(())
}

fn spread(gamut: &Gamut, channels: usize) -> Result<(), Refused> {
    let corners: Vec<_> = gamut.corners().collect();
    let from_first = corners.iter().map(|corner| corner.distance(corners[0]));
    if channels > 1 && from_first.fold(0.0, f64::max) < NARROWEST {
        return Err(Refused::OneColour);
    }
    if channels > 2 && gamut.width() < NARROWEST {
        return Err(Refused::OneLine);
    }
    Ok(())
}
