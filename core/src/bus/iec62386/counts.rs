//! What a gear counts, for the firmware to read.

use super::{Address, Frame};

/// Frames that came in, each count up to 65 535.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Counts {
    /// Frames for this gear; special commands are for all.
    pub taken: u16,
    /// Frames for others: nothing changed.
    pub others: u16,
    /// Frames that are reserved, and frames for this gear whose command is not built: nothing changed.
    pub unknown: u16,
    /// Commands that must come twice and came once, or too late: nothing changed.
    pub single: u16,
}

impl Counts {
    pub(super) const NONE: Self = Self {
        taken: 0,
        others: 0,
        unknown: 0,
        single: 0,
    };

    pub(super) fn see(&mut self, frame: Frame, is_for: impl Fn(Address) -> bool) {
        let count = match frame {
            Frame::Special { .. } => &mut self.taken,
            Frame::Level { to, .. } | Frame::Command { to, .. } if is_for(to) => &mut self.taken,
            Frame::Reserved => &mut self.unknown,
            _ => &mut self.others,
        };
        *count = count.saturating_add(1);
    }

    pub(super) const fn see_unknown(&mut self) {
        self.unknown = self.unknown.saturating_add(1);
    }

    pub(super) const fn see_single(&mut self) {
        self.single = self.single.saturating_add(1);
    }
}
