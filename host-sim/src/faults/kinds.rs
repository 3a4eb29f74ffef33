//! The kinds of fault that are injected, and what the core is to do about each.

/// A kind of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// A bit of a frame is flipped.
    Flipped,
    /// A frame is lost.
    Lost,
    /// A frame comes twice.
    Doubled,
    /// A frame comes late, perhaps after the next.
    Late,
    /// Frames come faster than they are dealt with.
    Overflow,
    /// The time base jumps, forwards or backwards.
    TimeJump,
    /// The timer is late: control steps are missed.
    Missed,
    /// The output buffer is not filled in time.
    Underrun,
    /// The board's temperature is lost.
    Temperature,
    /// Power fails, and the image of the settings is damaged.
    Image,
}

impl FaultKind {
    /// All of them, in the order of the table.
    pub const ALL: [Self; 10] = [
        Self::Flipped,
        Self::Lost,
        Self::Doubled,
        Self::Late,
        Self::Overflow,
        Self::TimeJump,
        Self::Missed,
        Self::Underrun,
        Self::Temperature,
        Self::Image,
    ];

    /// Stable identifier.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Flipped => "flipped_bits",
            Self::Lost => "lost_frames",
            Self::Doubled => "doubled_frames",
            Self::Late => "late_frames",
            Self::Overflow => "queue_overflow",
            Self::TimeJump => "time_jumps",
            Self::Missed => "missed_control_steps",
            Self::Underrun => "buffer_underrun",
            Self::Temperature => "temperature_lost",
            Self::Image => "corrupted_image",
        }
    }

    /// Its name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Flipped => "frames with a flipped bit",
            Self::Lost => "lost frames",
            Self::Doubled => "doubled frames",
            Self::Late => "frames late by up to 0.3 s",
            Self::Overflow => "bursts of 24 frames",
            Self::TimeJump => "jumps of the time base",
            Self::Missed => "timer late by 1 to 10 control steps",
            Self::Underrun => "buffer unfilled for 1 to 20 halves",
            Self::Temperature => "temperature lost for 0.1 to 2 s",
            Self::Image => "power cut, bits of the image flipped",
        }
    }

    /// How the core takes it.
    #[must_use]
    pub const fn how(self) -> &'static str {
        match self {
            Self::Flipped => {
                "it is another frame: for others, unknown, or obeyed within limits and fade times"
            }
            Self::Lost => "the light stays where it is or goes on; the next frame finds it",
            Self::Doubled => "levels are taken again from where the light is",
            Self::Late => {
                "taken when they come; a command that must come twice is forgotten after 100 ms"
            }
            Self::Overflow => "16 frames wait, later ones are dropped",
            Self::TimeJump => "the clock counts anew, the light goes on by a control step",
            Self::Missed => "caught up one more at a time: no jump, fades end on time",
            Self::Underrun => "the half before is sent again, then filling goes on after it",
            Self::Temperature => "drifts to the fallback and back by a quarter of a degree a step",
            Self::Image => "refused, each one; defaults are used, light comes on softly",
        }
    }

    /// Whether the light is compared with that of a twin that hears the same and has no fault.
    pub(super) const fn has_twin(self) -> bool {
        matches!(
            self,
            Self::TimeJump | Self::Missed | Self::Underrun | Self::Temperature
        )
    }
}
