//! Compare values for timers that make PWM on their own.

use crate::Error;
use crate::density::{Density, Edge, Lfsr32};
use crate::requantise::{Order, Requantiser, TimerPwm};

/// The duties of N channels, one [`Requantiser`] each.
///
/// From the same start and with the same densities the duties are those of the words of
/// [`Timer`](crate::density::Timer), a period each, where these are not put off for a phase.
///
/// *State*: 20 bytes a channel. *Cost*: that of [`Requantiser`] a channel and period. *Interrupts*: the owner may be the timer's.
///
/// ```
/// use milliglow::density::Density;
/// use milliglow::output::Duties;
/// use milliglow::requantise::{Order, TimerPwm};
/// use milliglow::constant;
///
/// const PWM: TimerPwm = constant!(TimerPwm::new(8, Order::First, None));
/// let mut duties = constant!(Duties::new([PWM; 2], 1));
/// assert_eq!(duties.next(&[Density::FULL, Density::from_bits(1 << 31)]), [256, 128]);
/// ```
#[derive(Clone, Debug)]
pub struct Duties<const N: usize> {
    channels: [Channel; N],
}

#[derive(Clone, Debug)]
struct Channel {
    requantiser: Requantiser,
    noise: Lfsr32,
    /// The last period ended lit: the next one has no rising edge.
    was_full: bool,
}

impl<const N: usize> Duties<N> {
    /// Channels begin 1 / N of a step apart; a dither starts from a seed that is not 0.
    ///
    /// # Errors
    /// [`Error::Seed`] for 0.
    pub const fn new(pwm: [TimerPwm; N], seed: u32) -> Result<Self, Error> {
        let Ok(first) = Lfsr32::new(seed) else {
            return Err(Error::Seed);
        };
        let mut channels = [const { Channel::AT_REST }; N];
        let mut k = 0;
        while k < N {
            let phase = (k as u32).wrapping_mul(const { ((1 << 32) / (N as u64)) as u32 });
            channels[k].requantiser = Requantiser::new(pwm[k], phase);
            channels[k].noise = first.branch(k as u32);
            k += 1;
        }
        Ok(Self { channels })
    }

    /// The duties of the next period, 0 to 2^bits each.
    #[must_use]
    pub fn next(&mut self, densities: &[Density; N]) -> [u32; N] {
        self.next_with_edges(densities, &[Edge::NONE; N])
    }

    /// The same, with what each rising edge takes of the period: the edges of the rows in force.
    #[must_use]
    pub fn next_with_edges(&mut self, densities: &[Density; N], edges: &[Edge; N]) -> [u32; N] {
        let mut duties = [0; N];
        let given = self.channels.iter_mut().zip(densities).zip(edges);
        for (((channel, &density), edge), duty) in given.zip(&mut duties) {
            *duty = channel.next(density, edge.charge());
        }
        duties
    }
}

impl Channel {
    const AT_REST: Self = Self {
        requantiser: Requantiser::new(crate::constant!(TimerPwm::new(8, Order::First, None)), 0),
        noise: crate::constant!(Lfsr32::new(1)),
        was_full: false,
    };

    fn next(&mut self, density: Density, edge: i64) -> u32 {
        let pwm = self.requantiser.pwm();
        // Without feedback what an edge takes is to be given beforehand.
        let ahead = if pwm.order() == Order::Rounding {
            edge
        } else {
            0
        };
        let duty = self.requantiser.plan(density, ahead, &mut self.noise);
        let taken = if duty > 0 && !self.was_full { edge } else { 0 };
        self.requantiser
            .add_charge(pwm.ticks(density) - (i64::from(duty) << 32) + taken);
        self.was_full = duty == pwm.period();
        duty
    }
}
