//! A luminaire of N channels: targets in, N densities and N word streams out. Nothing here but wiring.

mod channel;
mod colour;
mod configuration;
mod port;

pub use configuration::{Configuration, Lowest, RangeChoice};

use crate::curve::Curve;
use crate::density::{Density, Held, Lfsr32, Modulation, Modulator};
use crate::fade::{Fade, Pace};
use crate::operating::{Row, Table};
use crate::{Error, KnotsRef, Level, Light, Path, Recipe, Share};
use channel::Channel;
use colour::Colour;

/// Where a luminaire should go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Target<const N: usize> {
    /// How bright.
    pub level: Level,
    /// In which colour.
    pub recipe: Recipe<N>,
}

/// The running luminaire.
///
/// The control step (0.5 to 8 kHz, from a timer) moves Level and shares and makes densities of them; the streams are
/// drawn a word or a buffer at a time with the densities of the moment. From black the first lit channel pulses on the
/// first tick, at any light, and the following lit ones each 1/N of their own time between pulses later, so that the pulses of
/// channels are spread. A channel that joins others that are lit pulses within 1 / density decisions. With a table whose decisions
/// last up to s ticks, channel k is k / N x s ticks late for good, so that edges of channels do not coincide.
///
/// *Set points*: put out [`Luminaire::ranges`] after a control step, as the first tick of the next words goes out.
///
/// *State*: 100 bytes for the curve, the fade and what the colour follows, and 52 a channel on a 32-bit target: 16 for its share's fade, 4 for its density,
/// 4 for its noise, 20 for its modulator, 8 for its row. *Interrupts*: one context at a time; hand targets over, not the luminaire.
///
/// ```
/// use milliglow::curve::{Curve, Exponential};
/// use milliglow::density::Modulation;
/// use milliglow::fade::Pace;
/// use milliglow::luminaire::{Configuration, Luminaire, Target};
/// use milliglow::{Level, Recipe, Share, constant};
///
/// const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
/// const TWO_WHITES: Configuration<2> = Configuration::new(CURVE, [Modulation::FirstOrder; 2], 1);
/// let warm = Target { level: Level::FULL, recipe: Recipe::new([Share::FULL, Share::NONE]) };
/// let mut luminaire = constant!(Luminaire::new(&TWO_WHITES));
/// luminaire.fade_to(&warm, Pace::new(8_000)); // eight seconds at 1 kHz
/// for _ in 0..8_000 {
///     luminaire.control_step();
/// }
/// assert_eq!(luminaire.next_words(), [u32::MAX, 0]);
/// ```
#[derive(Clone, Debug)]
pub struct Luminaire<'t, const N: usize> {
    curve: Curve,
    lowest: Lowest,
    range_choice: RangeChoice,
    /// By what part of a pulse each lit channel is later than the one before, in units of 2^-32.
    later: u32,
    level: Fade<1>,
    colour: Colour<'t, N>,
    densities: [Density; N],
    channels: [Channel<'t>; N],
}

impl<'t, const N: usize> Luminaire<'t, N> {
    /// A luminaire in the dark.
    ///
    /// # Errors
    /// [`Error::Seed`] for a seed of 0, [`Error::Correction`] if the table of a channel corrects edges for another modulation.
    pub const fn new(configuration: &Configuration<'t, N>) -> Result<Self, Error> {
        Self::spread(configuration, const { part(N as u32) })
    }

    /// The same where only the first `channels` are there, 1 to N (others are taken as these), and the further ones stay dark:
    /// bit for bit the streams of a luminaire of so many. Divides; for set-up.
    ///
    /// # Errors
    /// As [`Luminaire::new`].
    pub const fn of_first(
        configuration: &Configuration<'t, N>,
        channels: usize,
    ) -> Result<Self, Error> {
        let used = if channels > N { N } else { channels };
        Self::spread(configuration, part(used as u32))
    }

    const fn spread(configuration: &Configuration<'t, N>, later: u32) -> Result<Self, Error> {
        let Ok(first) = Lfsr32::new(configuration.seed) else {
            return Err(Error::Seed);
        };
        let mut channels = [const {
            Channel::new(
                &Table::PLAIN,
                Modulator::new(Modulation::FirstOrder, 0),
                crate::constant!(Lfsr32::new(1)),
            )
        }; N];
        let mut k = 0;
        while k < N {
            let (table, modulation) = (configuration.operating[k], configuration.modulation[k]);
            if !table.suits(modulation) {
                return Err(Error::Correction);
            }
            let modulator = Modulator::new(modulation, later.wrapping_mul(k as u32));
            channels[k] = Channel::new(table, modulator, first.branch(k as u32));
            k += 1;
        }
        Ok(Self {
            curve: configuration.curve,
            lowest: configuration.lowest,
            range_choice: configuration.range_choice,
            later,
            level: Fade::at([0]),
            colour: Colour::none(),
            densities: [Density::NONE; N],
            channels,
        })
    }

    /// Starts from where the luminaire is, in flight or not; Level and all shares arrive together.
    ///
    /// In the dark there is no colour to leave: the shares are there at once and the Level alone moves.
    pub fn fade_to(&mut self, target: &Target<N>, pace: Pace) {
        self.colour.fade_to(&target.recipe, self.colour_pace(pace));
        self.level.start(&[u32::from(target.level.to_bits())], pace);
    }

    /// The same to a Level and a colour that is a function of Level: the shares go straight to what the knots give at that Level,
    /// arrive with it, and follow the Level from then on, in every control step. One that follows these knots already, or is in the dark,
    /// follows them on the way as well.
    ///
    /// *Error*: a channel's light is within that of [`crate::Knots`], plus 2 units of 2^-32, of share x light.
    pub fn fade_along(&mut self, level: Level, knots: KnotsRef<'t, N>, pace: Pace) {
        let colour_pace = self.colour_pace(pace);
        self.colour.fade_along(knots, level, colour_pace);
        self.level.start(&[u32::from(level.to_bits())], pace);
    }

    /// The same to a Level and through the recipes of a path to its last: the Level goes straight all the way, the shares from recipe to
    /// recipe, each of which they meet on its control step; Level and all shares arrive together. From the dark the colour begins at
    /// the first recipe.
    pub fn fade_through<const K: usize>(&mut self, level: Level, path: &'t Path<N, K>) {
        self.colour.fade_through(path, self.is_off());
        self.level.start(&[u32::from(level.to_bits())], path.pace());
    }

    fn colour_pace(&self, pace: Pace) -> Pace {
        if self.is_off() { Pace::AT_ONCE } else { pace }
    }

    fn is_off(&self) -> bool {
        self.level() == Level::OFF
    }

    /// One control step: moves Level and shares, and makes the densities of them.
    pub fn control_step(&mut self) {
        self.level.step();
        self.colour.step(self.level());
        let asked = self.curve.light(self.level());
        let was_black = self.is_black();
        let light = self.lowest.of(asked, !was_black);
        // The channels' lights first, in the place of their densities.
        for (place, share) in self.densities.iter_mut().zip(self.colour.iter()) {
            *place = Density::from_light(Share::from_bits(share).of(light));
        }
        match self.range_choice {
            RangeChoice::Own => enter_own_rows(&mut self.channels, &mut self.densities),
            RangeChoice::Common => enter_common_row(&mut self.channels, &mut self.densities),
        }
        if was_black {
            self.wake();
        }
    }

    /// The lit channels, spread anew: what they carried from before belongs to a light that is gone.
    fn wake(&mut self) {
        let channels = self.channels.iter_mut().zip(&self.densities);
        let lit = channels.filter(|(_, density)| **density != Density::NONE);
        for ((channel, &density), place) in lit.zip(0..) {
            channel
                .modulator
                .wake(density, self.later.wrapping_mul(place));
        }
    }

    /// The next 32 ticks of every channel, the earliest in the most significant bit.
    #[must_use]
    pub fn next_words(&mut self) -> [u32; N] {
        let mut words = [0; N];
        self.fill(words.each_mut().map(core::slice::from_mut));
        words
    }

    /// The next ticks of every channel, 32 a word, a buffer a channel.
    pub fn fill(&mut self, buffers: [&mut [u32]; N]) {
        let channels = self.channels.iter_mut().zip(&self.densities);
        for (((channel, &density), words), place) in channels.zip(buffers).zip(0..) {
            channel.fill(density, channel.lag(self.later.wrapping_mul(place)), words);
        }
    }

    /// The same by the fast profile: with a [`Held`] a channel, and the words drawn last (see [`Held::fill`]), as a double buffer has
    /// them. First-order channels whose density stands then cost a fraction; the streams are the same. With a table whose decisions last
    /// several ticks nothing is copied from the words drawn last, since these are late. Between two calls words are drawn by this or by
    /// [`Luminaire::fill_port`] alone, or [`Held::forget`] is told.
    ///
    /// ```
    /// # use milliglow::curve::Curve;
    /// # use milliglow::density::{Held, Modulation};
    /// # use milliglow::luminaire::{Configuration, Luminaire};
    /// # const TWO: Configuration<2> = Configuration::new(Curve::Lightness, [Modulation::FirstOrder; 2], 1);
    /// # let mut luminaire = milliglow::constant!(Luminaire::new(&TWO));
    /// let mut held = [const { Held::new() }; 2];
    /// let mut halves = [[[0; 64]; 2]; 2];
    /// // Now the first half is due, and the second is being sent.
    /// let [first, second] = &mut halves;
    /// luminaire.fill_held(&mut held, second.each_ref().map(|words| &words[..]), first.each_mut().map(|words| &mut words[..]));
    /// ```
    pub fn fill_held(
        &mut self,
        held: &mut [Held; N],
        previous: [&[u32]; N],
        buffers: [&mut [u32]; N],
    ) {
        let channels = self.channels.iter_mut().zip(&self.densities).zip(held);
        let mut phase = 0_u32;
        for ((((channel, &density), held), previous), words) in channels.zip(previous).zip(buffers)
        {
            channel.fill_held(density, channel.lag(phase), held, previous, words);
            phase = phase.wrapping_add(self.later);
        }
    }

    /// Where the Level is now.
    #[must_use]
    pub fn level(&self) -> Level {
        let [level] = self.level.values();
        Level::from_bits(level as u16)
    }

    /// Where the shares are now.
    #[must_use]
    pub fn shares(&self) -> [Share; N] {
        self.colour.shares()
    }

    /// The densities that the last control step made.
    pub const fn densities(&self) -> &[Density; N] {
        &self.densities
    }

    /// The set point of each channel's driver: put them out as the first tick of the next words goes out.
    #[must_use]
    pub fn ranges(&self) -> [u8; N] {
        self.rows().map(Row::range)
    }

    /// The row of the operating table that each channel works in.
    #[must_use]
    pub fn rows(&self) -> [&'t Row; N] {
        self.channels.each_ref().map(Channel::row)
    }

    /// The number of that row in the channel's table.
    #[must_use]
    pub fn row_numbers(&self) -> [u8; N] {
        self.channels.each_ref().map(Channel::row_number)
    }

    /// The ticks that each channel is late for good, so that edges of channels do not coincide.
    #[must_use]
    pub fn lags(&self) -> [u32; N] {
        let mut phase = 0_u32;
        self.channels.each_ref().map(|channel| {
            let lag = channel.lag(phase);
            phase = phase.wrapping_add(self.later);
            lag
        })
    }

    /// The modulators as they stand, a channel each.
    #[must_use]
    pub fn modulators(&self) -> [&Modulator; N] {
        self.channels.each_ref().map(|channel| &channel.modulator)
    }

    /// Whether the last control step left every channel dark.
    #[must_use]
    pub fn is_black(&self) -> bool {
        self.densities
            .iter()
            .all(|&density| density == Density::NONE)
    }

    /// Control steps to arrival; 0 when standing still.
    pub const fn remaining(&self) -> u32 {
        self.level.remaining()
    }

    /// Holds the fade where it is until [`Luminaire::resume`] or the next target.
    pub const fn pause(&mut self) {
        self.level.pause();
        self.colour.pause();
    }

    /// Goes on after a pause.
    pub const fn resume(&mut self) {
        self.level.resume();
        self.colour.resume();
    }
}

/// 2^32 over a number, rounded down; 0 for 1, and for 0.
const fn part(number: u32) -> u32 {
    match u32::MAX.checked_div(number) {
        Some(part) => part.wrapping_add(number.is_power_of_two() as u32),
        None => 0,
    }
}

/// From lights, each in the place of a density, to densities, each channel in the row of its own light.
///
/// Out of line and for any number of channels: unrolled over them, it would keep its values on the stack.
#[inline(never)]
fn enter_own_rows(channels: &mut [Channel<'_>], densities: &mut [Density]) {
    for (channel, density) in channels.iter_mut().zip(densities) {
        *density = channel.enter_own(Light::from_bits(density.to_bits()));
    }
}

/// The same, all channels in the highest row that any needs.
#[inline(never)]
fn enter_common_row(channels: &mut [Channel<'_>], densities: &mut [Density]) {
    let light = |density: &Density| Light::from_bits(density.to_bits());
    let needed = channels.iter().zip(&*densities);
    let rows = needed.map(|(channel, density)| channel.row_for(light(density)));
    let highest = rows.max().unwrap_or(0);
    for (channel, density) in channels.iter_mut().zip(densities) {
        *density = channel.enter(highest, light(density));
    }
}

#[cfg(target_pointer_width = "32")]
const _: () = assert!(size_of::<Luminaire<'_, 5>>() == 100 + 5 * 52);
