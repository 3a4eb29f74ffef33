//! The latest whole message from one context to another.
//!
//! One context writes and one reads; either may interrupt the other anywhere, so that it serves from the bus to the control loop and
//! from the main loop to the tick interrupt alike. Only loads and stores are used, which a Cortex-M0 has. Neither side
//! waits: the number of steps is bounded on both. A message that is overwritten before it is read is lost, as it should be;
//! what must not be lost belongs into a queue.
//!
//! *Method*: four slots in two pairs, H. Simpson, "Four-slot fully asynchronous communication mechanism", IEE Proceedings 137 E
//! (1990) (from memory). A test enumerates every point of interruption in consecutive reads and writes, for both priorities.

mod four_slot;
#[cfg(test)]
mod interleavings;

use core::sync::atomic::{AtomicU32, Ordering};

use crate::fade::Pace;
use crate::luminaire::Target;
use crate::{Level, Recipe, Share};
use four_slot::{Memory, Place};

/// A box for the latest message of `W` words.
///
/// *Cost*: three loads and `W + 4` stores a [`Mailbox::post`]; `W + 4` loads and two stores at most a [`Mailbox::take`]. *RAM*: `16 W + 40` bytes.
/// *Interrupts*: `post` in one context only, `take` in one context only.
///
/// ```
/// use milliglow::mailbox::Mailbox;
/// static MAILBOX: Mailbox<2> = Mailbox::new();
/// MAILBOX.post(&[1, 2]);
/// MAILBOX.post(&[3, 4]);
/// assert_eq!(MAILBOX.take(), Some([3, 4]));
/// assert_eq!(MAILBOX.take(), None); // nothing new
/// ```
#[derive(Debug)]
pub struct Mailbox<const W: usize> {
    words: [[AtomicU32; W]; 4],
    numbers: [AtomicU32; 4],
    newest: [AtomicU32; 2],
    latest: AtomicU32,
    reading: AtomicU32,
    written: AtomicU32,
    seen: AtomicU32,
}

impl<const W: usize> Mailbox<W> {
    /// An empty box.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            words: [const { [const { AtomicU32::new(0) }; W] }; 4],
            numbers: [const { AtomicU32::new(0) }; 4],
            newest: [const { AtomicU32::new(0) }; 2],
            latest: AtomicU32::new(0),
            reading: AtomicU32::new(0),
            written: AtomicU32::new(0),
            seen: AtomicU32::new(0),
        }
    }

    /// Puts a message in the place of the one before.
    pub fn post(&self, words: &[u32; W]) {
        four_slot::write(self, words);
    }

    /// The latest whole message; none if there is none since the last one taken. (After 2^32 messages without a look, one is missed.)
    pub fn take(&self) -> Option<[u32; W]> {
        four_slot::read(self)
    }

    /// Posts where a luminaire should go; `W` is `N + 3`.
    pub fn post_target<const N: usize>(&self, target: &Target<N>, pace: Pace) {
        self.post_movement(None, target, pace);
    }

    /// Takes where a luminaire should go, if that is new; `W` is `N + 3`.
    pub fn take_target<const N: usize>(&self) -> Option<(Target<N>, Pace)> {
        let (_, target, pace) = self.take_movement()?;
        Some((target, pace))
    }

    /// Posts where a luminaire should go, and where it should begin, as a [`Movement`](crate::bus::Movement) says; `W` is `N + 3`.
    /// To begin at [`Level::OFF`] is to begin where it is.
    pub fn post_movement<const N: usize>(
        &self,
        from: Option<Level>,
        target: &Target<N>,
        pace: Pace,
    ) {
        const { assert!(W == N + 3, "a target of N channels takes N + 3 words") };
        let mut words = [0; W];
        let [steps, reciprocal] = pace.to_words();
        let shares = target.recipe.shares().iter().map(|share| share.to_bits());
        let begin = u32::from(from.map_or(0, Level::to_bits));
        let levels = begin << 16 | u32::from(target.level.to_bits());
        let all = [levels, steps, reciprocal].into_iter().chain(shares);
        words
            .iter_mut()
            .zip(all)
            .for_each(|(word, value)| *word = value);
        self.post(&words);
    }

    /// Takes where a luminaire should begin and go, if that is new; `W` is `N + 3`.
    pub fn take_movement<const N: usize>(&self) -> Option<(Option<Level>, Target<N>, Pace)> {
        const { assert!(W == N + 3, "a target of N channels takes N + 3 words") };
        let words = self.take()?;
        let &[levels, steps, reciprocal, ref bits @ ..] = words.as_slice() else {
            return None;
        };
        let mut shares = [Share::NONE; N];
        for (share, &bits) in shares.iter_mut().zip(bits) {
            *share = Share::from_bits(bits);
        }
        let from = Level::from_bits((levels >> 16) as u16);
        let target = Target {
            level: Level::from_bits(levels as u16),
            recipe: Recipe::new(shares),
        };
        let from = (from != Level::OFF).then_some(from);
        Some((from, target, Pace::from_words([steps, reciprocal])))
    }

    fn cell(&self, place: Place) -> Option<&AtomicU32> {
        match place {
            Place::Latest => Some(&self.latest),
            Place::Reading => Some(&self.reading),
            Place::Newest(pair) => self.newest.get(pair as usize),
            Place::Number(slot) => self.numbers.get(slot.index()),
            Place::Word(slot, index) => self.words.get(slot.index())?.get(index),
            Place::Written => Some(&self.written),
            Place::Seen => Some(&self.seen),
        }
    }
}

impl<const W: usize> Default for Mailbox<W> {
    fn default() -> Self {
        Self::new()
    }
}

/// What decides who uses which slot is ordered strictly; the message within a slot is not, for nobody else uses it meanwhile.
///
/// Orders are constants at each access: one that is not leaves the refusal of a wrong one in the code.
impl<const W: usize> Memory for Mailbox<W> {
    fn load(&self, place: Place) -> u32 {
        match self.cell(place) {
            Some(cell) if is_strict(place) => cell.load(Ordering::SeqCst),
            Some(cell) => cell.load(Ordering::Relaxed),
            None => 0,
        }
    }

    fn store(&self, place: Place, value: u32) {
        match self.cell(place) {
            Some(cell) if is_strict(place) => cell.store(value, Ordering::SeqCst),
            Some(cell) => cell.store(value, Ordering::Relaxed),
            None => {}
        }
    }
}

const fn is_strict(place: Place) -> bool {
    matches!(place, Place::Latest | Place::Reading | Place::Newest(_))
}
