//! A gate that follows its stream late.

use std::collections::VecDeque;

/// Delays rising and falling changes, each by its own time; a change that overtakes the one before it undoes it.
#[derive(Clone, Debug)]
pub(super) struct GateDelay {
    on_s: f64,
    off_s: f64,
    input: bool,
    /// Changes to come: seconds after the begin of the tick, and the gate then.
    changes: VecDeque<(f64, bool)>,
}

impl GateDelay {
    pub(super) fn new(on_s: f64, off_s: f64) -> Self {
        Self {
            on_s,
            off_s,
            input: false,
            changes: VecDeque::new(),
        }
    }

    /// The stream's bit of the tick that begins.
    #[inline]
    pub(super) fn feed(&mut self, on: bool) {
        if on == self.input {
            return;
        }
        self.input = on;
        let at = if on { self.on_s } else { self.off_s };
        if self.changes.back().is_some_and(|&(last, _)| last >= at) {
            self.changes.pop_back();
        } else {
            self.changes.push_back((at, on));
        }
    }

    /// The next change before `seconds` after the begin of the tick.
    #[inline]
    pub(super) fn change_before(&mut self, seconds: f64) -> Option<(f64, bool)> {
        let &(at, _) = self.changes.front()?;
        if at < seconds {
            self.changes.pop_front()
        } else {
            None
        }
    }

    /// The tick is over.
    #[inline]
    pub(super) fn pass(&mut self, tick_s: f64) {
        for (at, _) in &mut self.changes {
            *at -= tick_s;
        }
    }

    /// The stream's last bit.
    pub(super) fn input(&self) -> bool {
        self.input
    }

    /// As if the stream had always been so.
    pub(super) fn settle(&mut self, on: bool) {
        self.input = on;
        self.changes.clear();
    }
}
