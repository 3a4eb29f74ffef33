//! Why no shares can be found.

use super::super::{CCT_RANGE_K, LARGEST_DUV, Xy};
use super::MOST_CHANNELS;
use crate::numbers::{grouped, significant};
use std::fmt;

/// What is wrong with the channels, the colour or the flux asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Refused {
    /// None, or too many.
    Channels(usize),
    /// A channel whose chromaticity no real light has, y = 0 among them.
    ChannelColour(String),
    /// A channel whose flux is not above 0.
    ChannelFlux(String),
    /// Several channels, all of one chromaticity.
    OneColour,
    /// Three or more channels on one line of chromaticities.
    OneLine,
    /// A colour that no real light has.
    Colour(Xy),
    /// A CCT outside the table of the Planckian locus.
    Cct(f64),
    /// A distance from the locus that makes no white.
    Duv(f64),
    /// A flux that is not above 0, or more than the luminaire reaches at this colour.
    Flux {
        /// What was asked for, in lm.
        asked_lm: f64,
        /// What can be reached, in lm.
        reachable_lm: f64,
    },
    /// A channel whose power is not known, where power is to be least.
    Power(String),
    /// The linear program could not be solved in floating point: fluxes or powers lie too far apart.
    Numbers,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lumens = |flux_lm: f64| significant(flux_lm, 6);
        match self {
            Self::Channels(count) => {
                write!(f, "{count} channels; allowed are 1 to {MOST_CHANNELS}")
            }
            Self::ChannelColour(name) => write!(
                f,
                "no real light has the chromaticity of channel `{name}`; allowed is what lies inside the spectral locus"
            ),
            Self::ChannelFlux(name) => {
                write!(
                    f,
                    "channel `{name}` gives no flux; allowed is a flux above 0 lm"
                )
            }
            Self::OneColour => write!(
                f,
                "all channels have one chromaticity, so that no colour can be mixed; allowed are channels that differ"
            ),
            Self::OneLine => write!(
                f,
                "all channels lie on one line of chromaticities, so that shares for a colour are not settled; allowed \
                 are two channels, or three or more around an area"
            ),
            Self::Colour(Xy { x, y }) => write!(
                f,
                "no real light has the chromaticity ({}, {}); allowed is what lies inside the spectral locus",
                significant(*x, 6),
                significant(*y, 6)
            ),
            Self::Cct(kelvin) => write!(
                f,
                "a CCT of {} K is outside the Planckian locus as tabulated; allowed are {} to {} K",
                significant(*kelvin, 6),
                grouped(*CCT_RANGE_K.start()),
                grouped(*CCT_RANGE_K.end())
            ),
            Self::Duv(duv) => write!(
                f,
                "a Duv of {} is no white; allowed are -{LARGEST_DUV} to {LARGEST_DUV}",
                significant(*duv, 6)
            ),
            Self::Flux { asked_lm, .. } if asked_lm.is_nan() || *asked_lm <= 0.0 => {
                write!(
                    f,
                    "a flux of {} lm; allowed is a flux above 0 lm",
                    lumens(*asked_lm)
                )
            }
            Self::Flux {
                asked_lm,
                reachable_lm,
            } => write!(
                f,
                "a flux of {} lm cannot be reached; allowed are at most {} lm at this colour",
                lumens(*asked_lm),
                lumens(*reachable_lm)
            ),
            Self::Power(name) => write!(
                f,
                "the power of channel `{name}` is not known; add its line: power_w = (W at full drive)"
            ),
            Self::Numbers => write!(
                f,
                "the channels' fluxes or powers lie too far apart to be solved; allowed are ratios up to 1_000_000"
            ),
        }
    }
}

impl std::error::Error for Refused {}
