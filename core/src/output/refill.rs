//! Which half of a buffer is to be filled while a DMA sends the other.

use core::sync::atomic::{AtomicU32, Ordering, fence};

/// Half of a buffer that a DMA sends round and round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Half {
    /// Sent first.
    First,
    /// Sent second.
    Second,
}

impl Half {
    const fn of_number(number: u32) -> Self {
        if number & 1 == 0 {
            Self::First
        } else {
            Self::Second
        }
    }

    /// This half of a buffer.
    pub const fn of<T>(self, [first, second]: &mut [T; 2]) -> &mut T {
        match self {
            Self::First => first,
            Self::Second => second,
        }
    }
}

/// How many halves the DMA has sent: written by its interrupt, read by who fills.
///
/// Loads and stores only, so that it works where there is no compare-and-swap. *State*: 4 bytes.
/// *Interrupts*: one context calls [`SentHalves::begun`], any other reads.
#[derive(Debug)]
pub struct SentHalves(AtomicU32);

impl SentHalves {
    /// The DMA is about to begin with the first half.
    #[must_use]
    pub const fn new() -> Self {
        Self(AtomicU32::new(0))
    }

    /// The DMA has just gone over to this half: call it at the transfer's half (second half) and at its end (first half).
    ///
    /// An interrupt that came twice as late as it may, so that one was lost, is noticed by the half; two lost in a row are not.
    pub fn begun(&self, half: Half) {
        let next = self.0.load(Ordering::Relaxed).wrapping_add(1);
        let lost = Half::of_number(next) != half;
        self.0
            .store(next.wrapping_add(u32::from(lost)), Ordering::Release);
    }
}

impl Default for SentHalves {
    fn default() -> Self {
        Self::new()
    }
}

/// What has been filled, and how often the DMA was faster.
///
/// Fill both halves, start the DMA, then fill whenever a half is due:
///
/// ```
/// use milliglow::output::{Half, Refill, SentHalves};
///
/// static SENT: SentHalves = SentHalves::new(); // SENT.begun(half) in the DMA's interrupt
/// let mut refill = Refill::new();
/// let mut buffer = [[0_u16; 64]; 2];
/// # SENT.begun(Half::Second);
/// if let Some(half) = refill.due(&SENT) {
///     half.of(&mut buffer).fill(1); // the next ticks
///     refill.filled(&SENT);
/// }
/// assert_eq!((buffer[0][0], buffer[1][0], refill.underruns()), (1, 0, 0));
/// ```
///
/// **What safe code cannot promise.** A DMA reads memory behind the compiler's back. To Rust a buffer that a DMA reads is shared, and a
/// `&mut` to it is a promise that nobody reads: only code that knows the peripheral can keep both, by never forming a `&mut` to the half
/// that is being sent. Nothing here touches memory or a peripheral, so the caller's `unsafe` states and keeps:
///
/// - *Lifetime*: the buffer is a `static` (or leaked). A destructor that stops the DMA is no substitute: `mem::forget` is safe, and then
///   the DMA goes on over memory that belongs to someone else.
/// - *Access*: only the half that [`Refill::due`] named is written, through a pointer to that half, and only between `due` and `filled`.
/// - *Order*: stores reach memory before the DMA reads them. [`Refill::filled`] ends with a fence (`dmb` on Cortex-M) for what was
///   stored before it; before the DMA is started the caller needs one too, and a core with a data cache must also clean it.
///
/// *State*: 8 bytes. *Interrupts*: owned by the one context that fills.
#[derive(Clone, Debug)]
pub struct Refill {
    /// Halves filled since the start.
    filled: u32,
    underruns: u32,
}

impl Refill {
    /// Both halves are filled, and the DMA begins with the first.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            filled: 2,
            underruns: 0,
        }
    }

    /// The half to fill now, if the DMA has left one. After an underrun the half that is being sent is passed over.
    #[must_use]
    pub fn due(&mut self, sent: &SentHalves) -> Option<Half> {
        let sending = sent.0.load(Ordering::Acquire);
        self.notice(sending);
        (self.filled == sending.wrapping_add(1)).then_some(Half::of_number(self.filled))
    }

    /// That half is filled. False, and an underrun more, if the DMA had begun to send it before.
    pub fn filled(&mut self, sent: &SentHalves) -> bool {
        fence(Ordering::SeqCst);
        let sending = sent.0.load(Ordering::Acquire);
        let in_time = !self.notice(sending);
        self.filled = self.filled.wrapping_add(u32::from(in_time));
        in_time
    }

    /// Halves that were sent, in whole or in part, before they were filled: their ticks were those of two halves before.
    pub const fn underruns(&self) -> u32 {
        self.underruns
    }

    /// Whether the DMA sends what was not filled; if so, filling goes on after that.
    fn notice(&mut self, sending: u32) -> bool {
        // How many halves too late, below 2^31.
        let late = sending.wrapping_sub(self.filled).wrapping_add(1);
        let underrun = late != 0 && late < 1 << 31;
        if underrun {
            self.underruns = self.underruns.saturating_add(late);
            self.filled = sending.wrapping_add(1);
        }
        underrun
    }
}

impl Default for Refill {
    fn default() -> Self {
        Self::new()
    }
}
