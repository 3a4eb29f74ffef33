//! A luminaire of N channels: targets in, N densities and N word streams out. Nothing here but wiring.

mod configuration;
mod held;
mod kinds;
mod lamp;
mod new;
mod operate;
mod port;
mod rowed;
mod stream;

pub use configuration::{Configuration, Lowest, RangeChoice};
pub use kinds::{AnyModulation, Channel, FirstOrderOnly, FirstOrderPlain};

use crate::curve::Curve;
use crate::density::Density;
use crate::fade::{Course, Fade, Line, Pace};
use crate::fraction::Factor;
use crate::operating::Row;
use crate::{KnotsRef, Level, Path, Recipe, Share};
use lamp::{Lamp, in_common_row, in_own_rows};

/// What shares do where they do not move along with the Level.
#[derive(Clone, Copy, Debug)]
enum Follows<'t, const N: usize> {
    /// They go with the Level along knots, which are read by this: a luminaire that is never told to links nothing that does.
    Knots(KnotsRef<'t, N>, fn(KnotsRef<'_, N>, Level) -> Recipe<N>),
    /// They are on a leg with this bias and so many control steps to go, and set out on the first of these then.
    Legs {
        bias: u32,
        remaining: u32,
        rest: &'t [Fade<N>],
    },
}

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
/// *Size*: `C` is what its channels can hold. [`Luminaire::new`] takes any modulation; [`Luminaire::first_order`] and [`Luminaire::plain`] take less
/// of the same configuration, link less and give the same bits. Knots are linked where [`Luminaire::fade_along`] is.
///
/// *State*: 88 bytes for the curve, the fade and what the colour follows, and 56 a channel on a 32-bit target: 16 for its share's fade, 4 for its density,
/// 4 for its noise, 20 for its modulator, 12 for its row; 40 a channel of first order alone, 28 of a plain one. *Cost*: `control_5`, `rows_5`
/// and their like in the ledger. *Interrupts*: one context at a time; hand targets over, not the luminaire.
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
#[repr(C)] // What a control step needs is within a load's reach from the beginning.
pub struct Luminaire<'t, const N: usize, C = AnyModulation<'t>> {
    range_choice: RangeChoice,
    /// Whether the shares move along with the Level while that moves.
    shares_move: bool,
    lowest: Lowest,
    /// Of the Level, and of the shares that move along with it.
    course: Course,
    curve: Curve,
    level: Line,
    /// What the shares follow while they do not move.
    follows: Option<Follows<'t, N>>,
    /// By what part of a pulse each lit channel is later than the one before, in units of 2^-32.
    later: u32,
    lamps: [Lamp<C>; N],
}

impl<'t, const N: usize, C: Channel<'t>> Luminaire<'t, N, C> {
    /// Starts from where the luminaire is, in flight or not; Level and all shares arrive together.
    ///
    /// In the dark there is no colour to leave: the shares are there at once and the Level alone moves.
    pub fn fade_to(&mut self, target: &Target<N>, pace: Pace) {
        self.start_shares(&target.recipe, pace);
        self.start_level(target.level, pace);
    }

    /// The same to a Level and a colour that is a function of Level: the shares go straight to what the knots give at that Level,
    /// arrive with it, and follow the Level from then on, in every control step. One that follows these knots already, or is in the dark,
    /// follows them on the way as well.
    ///
    /// *Error*: a channel's light is within that of [`crate::Knots`], plus 2 units of 2^-32, of share x light.
    pub fn fade_along(&mut self, level: Level, knots: KnotsRef<'t, N>, pace: Pace) {
        match self.follows {
            Some(Follows::Knots(now, _)) if now == knots && !self.is_changing_colour() => {
                self.shares_move = false;
            }
            _ => {
                self.start_shares(&knots.recipe(level), pace);
                self.follows = Some(Follows::Knots(knots, |knots, level| knots.recipe(level)));
            }
        }
        self.start_level(level, pace);
    }

    /// The same to a Level and through the recipes of a path to its last: the Level goes straight all the way, the shares from recipe to
    /// recipe, each of which they meet on its control step; Level and all shares arrive together. From the dark the colour begins at
    /// the first recipe.
    pub fn fade_through<const K: usize>(&mut self, level: Level, path: &'t Path<N, K>) {
        if let Some((first, rest)) = path.legs() {
            let is_off = self.level() == Level::OFF;
            for (lamp, line) in self.lamps.iter_mut().zip(first.lines()) {
                if is_off {
                    lamp.share = line.clone();
                } else {
                    lamp.share.start(line.value(), path.first_pace());
                }
            }
            self.shares_move = false;
            self.follows = Some(Follows::leg(first, rest));
        }
        self.start_level(level, path.pace());
    }

    fn start_shares(&mut self, recipe: &Recipe<N>, pace: Pace) {
        let is_off = self.level() == Level::OFF;
        let pace = if is_off { Pace::AT_ONCE } else { pace };
        self.follows = None;
        self.shares_move = pace.steps() > 0;
        for (lamp, share) in self.lamps.iter_mut().zip(recipe.shares()) {
            lamp.share.start(share.to_bits(), pace);
        }
    }

    fn start_level(&mut self, level: Level, pace: Pace) {
        self.level.start(level.to_bits().into(), pace);
        self.course.start(pace);
    }

    const fn is_changing_colour(&self) -> bool {
        self.shares_move && self.course.remaining() > 0
    }

    /// One control step: moves Level and shares, and makes the densities of them.
    pub fn control_step(&mut self) {
        let was_black = self.is_black();
        let moved = self.course.step();
        if let Some(bias) = moved {
            self.level.step(bias);
        }
        if let Some(follows) = self.follows {
            self.follow(follows, moved.is_some());
        }
        let asked = self.curve.light(self.level());
        let light = Factor::new(self.lowest.of(asked, !was_black).to_bits());
        match (self.range_choice, moved.filter(|_| self.shares_move)) {
            (RangeChoice::Own, Some(bias)) => in_own_rows(&mut self.lamps, Some(bias), light),
            (_, moved) => self.in_other_rows(moved, light),
        }
        if was_black {
            self.wake();
        }
    }

    /// The rest of a control step where shares stand still or all channels are in one row. Out of line, as the other case is the
    /// costliest and gets by with fewer registers alone.
    #[inline(never)]
    fn in_other_rows(&mut self, moved: Option<u32>, light: Factor) {
        match self.range_choice {
            RangeChoice::Own => in_own_rows(&mut self.lamps, None, light),
            RangeChoice::Common => in_common_row(&mut self.lamps, moved, light),
        }
    }

    /// Out of line: luminaires of plain recipes pay a comparison.
    #[cold]
    #[inline(never)]
    fn follow(&mut self, follows: Follows<'t, N>, moved: bool) {
        match follows {
            Follows::Knots(..) if self.is_changing_colour() => {}
            Follows::Knots(knots, recipe) => {
                let recipe = recipe(knots, self.level());
                for (lamp, share) in self.lamps.iter_mut().zip(recipe.shares()) {
                    lamp.share = Line::at(share.to_bits());
                }
            }
            Follows::Legs {
                bias,
                remaining,
                rest,
            } if moved => self.walk(bias, remaining - 1, rest),
            Follows::Legs { .. } => {}
        }
    }

    /// A control step on a leg, or its last one.
    fn walk(&mut self, bias: u32, remaining: u32, rest: &'t [Fade<N>]) {
        for lamp in &mut self.lamps {
            lamp.share.step(bias);
        }
        self.follows = match (remaining, rest) {
            (0, [next, rest @ ..]) => {
                for (lamp, line) in self.lamps.iter_mut().zip(next.lines()) {
                    lamp.share = line.clone();
                }
                Some(Follows::leg(next, rest))
            }
            (0, []) => None,
            _ => Some(Follows::Legs {
                bias,
                remaining,
                rest,
            }),
        };
    }

    /// The lit channels, spread anew: what they carried from before belongs to a light that is gone.
    #[cold]
    #[inline(never)]
    fn wake(&mut self) {
        let lit = self.lamps.iter_mut();
        let lit = lit.filter(|lamp| lamp.density != Density::NONE);
        for (lamp, place) in lit.zip(0..) {
            lamp.channel
                .wake(lamp.density, self.later.wrapping_mul(place));
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
        for ((lamp, words), place) in self.lamps.iter_mut().zip(buffers).zip(0..) {
            lamp.channel
                .fill(lamp.density, self.later.wrapping_mul(place), words);
        }
    }

    /// Where the Level is now.
    #[must_use]
    pub fn level(&self) -> Level {
        Level::from_bits(self.level.value() as u16)
    }

    /// Where the shares are now.
    #[must_use]
    pub fn shares(&self) -> [Share; N] {
        let shares = self.lamps.each_ref().map(|lamp| lamp.share.value());
        shares.map(Share::from_bits)
    }

    /// The densities that the last control step made.
    #[must_use]
    pub fn densities(&self) -> [Density; N] {
        self.lamps.each_ref().map(|lamp| lamp.density)
    }

    /// The set point of each channel's driver: put them out as the first tick of the next words goes out.
    #[must_use]
    pub fn ranges(&self) -> [u8; N] {
        self.rows().map(Row::range)
    }

    /// The row of the operating table that each channel works in.
    #[must_use]
    pub fn rows(&self) -> [&'t Row; N] {
        self.lamps.each_ref().map(|lamp| lamp.channel.row())
    }

    /// The number of that row in the channel's table.
    #[must_use]
    pub fn row_numbers(&self) -> [u8; N] {
        self.lamps.each_ref().map(|lamp| lamp.channel.row_number())
    }

    /// The ticks that each channel is late for good, so that edges of channels do not coincide.
    #[must_use]
    pub fn lags(&self) -> [u32; N] {
        let mut phase = 0_u32;
        self.lamps.each_ref().map(|lamp| {
            let lag = lamp.channel.lag(phase);
            phase = phase.wrapping_add(self.later);
            lag
        })
    }

    /// The modulators as they stand, a channel each.
    #[must_use]
    pub fn modulators(&self) -> [&C::Modulator; N] {
        self.lamps.each_ref().map(|lamp| lamp.channel.modulator())
    }

    /// Whether the last control step left every channel dark.
    #[must_use]
    pub fn is_black(&self) -> bool {
        self.lamps.iter().all(|lamp| lamp.density == Density::NONE)
    }

    /// Control steps to arrival; 0 when standing still.
    pub const fn remaining(&self) -> u32 {
        self.course.remaining()
    }

    /// Holds the fade where it is until [`Luminaire::resume`] or the next target.
    pub const fn pause(&mut self) {
        self.course.pause();
    }

    /// Goes on after a pause.
    pub const fn resume(&mut self) {
        self.course.resume();
    }
}

impl<'t, const N: usize> Follows<'t, N> {
    const fn leg(leg: &Fade<N>, rest: &'t [Fade<N>]) -> Self {
        Self::Legs {
            bias: leg.course().bias(),
            remaining: leg.course().remaining(),
            rest,
        }
    }
}

#[cfg(target_pointer_width = "32")]
const _: () = {
    assert!(size_of::<Luminaire<'_, 5>>() == 88 + 5 * 56);
    assert!(size_of::<Luminaire<'_, 5, FirstOrderOnly<'_>>>() == 88 + 5 * 40);
    assert!(size_of::<Luminaire<'_, 5, FirstOrderPlain>>() == 88 + 5 * 28);
};
