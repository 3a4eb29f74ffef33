//! Frames on their way from the bus's interrupt to whoever deals with them: none may be lost without a trace.

use core::sync::atomic::{AtomicU32, Ordering};

/// The latest `K` frames that nobody has dealt with yet, first in, first out; `K` is a power of two.
///
/// A [`Mailbox`](crate::mailbox::Mailbox) keeps the latest message only; frames build on each other, so they queue. A frame that
/// finds no room is dropped and counted; those before it stay.
///
/// *Cost*: four loads and three stores a [`FrameQueue::push`], no division. *RAM*: `8 K + 12` bytes.
/// *Interrupts*: `push` in one context only, `pop` in one context only; either may interrupt the other.
///
/// ```
/// use milliglow::bus::FrameQueue;
/// static QUEUE: FrameQueue<2> = FrameQueue::new();
/// assert!(QUEUE.push(0xFEFE, 7)); // in the interrupt: the frame, and when it came in ms
/// assert!(QUEUE.push(0xFF00, 30));
/// assert!(!QUEUE.push(0xFF05, 55));
/// assert_eq!(QUEUE.pop(), Some((0xFEFE, 7))); // before the control step
/// assert_eq!(QUEUE.pop_due(32, 5), None); // one that was due 5 ms ago: the frame of 30 ms was not there then
/// assert_eq!(QUEUE.overflows(), 1);
/// ```
#[derive(Debug)]
pub struct FrameQueue<const K: usize> {
    places: [[AtomicU32; 2]; K],
    pushed: AtomicU32,
    popped: AtomicU32,
    overflows: AtomicU32,
}

impl<const K: usize> FrameQueue<K> {
    /// An empty queue.
    #[must_use]
    pub const fn new() -> Self {
        const { assert!(K.is_power_of_two(), "a queue has room for 2^n frames") };
        Self {
            places: [const { [const { AtomicU32::new(0) }; 2] }; K],
            pushed: AtomicU32::new(0),
            popped: AtomicU32::new(0),
            overflows: AtomicU32::new(0),
        }
    }

    /// Puts a frame at the end with its time stamp; whether there was room.
    pub fn push(&self, frame: u16, at_ms: u32) -> bool {
        let pushed = self.pushed.load(Ordering::Relaxed);
        let waiting = pushed.wrapping_sub(self.popped.load(Ordering::Acquire));
        let Some([kept_frame, kept_time]) = self.place(pushed).filter(|_| waiting < K as u32)
        else {
            let overflows = self.overflows.load(Ordering::Relaxed);
            self.overflows
                .store(overflows.saturating_add(1), Ordering::Relaxed);
            return false;
        };
        kept_frame.store(frame.into(), Ordering::Relaxed);
        kept_time.store(at_ms, Ordering::Relaxed);
        self.pushed.store(pushed.wrapping_add(1), Ordering::Release);
        true
    }

    /// Takes the frame that has waited longest, with its time stamp.
    pub fn pop(&self) -> Option<(u16, u32)> {
        self.pop_if(|_| true)
    }

    /// The same for a control step that is done `behind_ms` late, as [`ControlClock`](super::ControlClock) says: a frame that came within that
    /// time of `now_ms` waits for the control step that was due when it came.
    ///
    /// So a fade that sets out while control steps are caught up is no earlier than without the delay, and then where it would have been, to a
    /// control step. Time stamps may wrap; where their base jumps, a frame waits no longer than control steps are behind.
    pub fn pop_due(&self, now_ms: u32, behind_ms: u32) -> Option<(u16, u32)> {
        self.pop_if(|at_ms| {
            let apart = now_ms.wrapping_sub(at_ms).cast_signed().unsigned_abs();
            behind_ms == 0 || apart > behind_ms
        })
    }

    fn pop_if(&self, is_due: impl FnOnce(u32) -> bool) -> Option<(u16, u32)> {
        let popped = self.popped.load(Ordering::Relaxed);
        if self.pushed.load(Ordering::Acquire) == popped {
            return None;
        }
        let [frame, time] = self.place(popped)?;
        let taken = (
            frame.load(Ordering::Relaxed) as u16,
            time.load(Ordering::Relaxed),
        );
        if !is_due(taken.1) {
            return None;
        }
        self.popped.store(popped.wrapping_add(1), Ordering::Release);
        Some(taken)
    }

    /// Frames that found no room.
    pub fn overflows(&self) -> u32 {
        self.overflows.load(Ordering::Relaxed)
    }

    fn place(&self, number: u32) -> Option<&[AtomicU32; 2]> {
        self.places.get(number as usize & (K - 1))
    }
}

impl<const K: usize> Default for FrameQueue<K> {
    fn default() -> Self {
        Self::new()
    }
}
