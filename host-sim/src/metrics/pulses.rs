//! Pulses and the dark between them.

use milliglow::density::Density;

/// How a channel pulses at a steady density.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulses {
    /// Pulses (runs of ones) a tick.
    pub a_tick: f64,
    /// Longest run of zeros, in ticks.
    pub longest_dark_ticks: f64,
}

impl Pulses {
    /// The same where each decision lasts so many ticks.
    #[must_use]
    pub fn stretched(self, ticks: u8) -> Self {
        let ticks = f64::from(ticks);
        Self {
            a_tick: self.a_tick / ticks,
            longest_dark_ticks: self.longest_dark_ticks * ticks,
        }
    }
}

/// The closed form for first order: gaps differ by at most one tick, and a run begins with every isolated one, or after
/// every isolated zero (Christoffel words; Morse and Hedlund 1940). None for a channel that is dark.
#[must_use]
pub fn first_order(density: Density) -> Option<Pulses> {
    match density {
        Density::NONE => None,
        Density::FULL => Some(Pulses {
            a_tick: 0.0,
            longest_dark_ticks: 0.0,
        }),
        _ => {
            let bits = u64::from(density.to_bits());
            let longest = (1u64 << 32).div_ceil(bits) - 1;
            let density = density.as_f64();
            Some(Pulses {
                a_tick: density.min(1.0 - density),
                longest_dark_ticks: longest as f64,
            })
        }
    }
}
