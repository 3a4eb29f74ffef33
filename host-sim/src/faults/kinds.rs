//! The kinds of fault that are injected, and what the core is to do about each.

use milliglow::bus::Late;

/// Latest that the timer is, in control steps.
pub(super) const LATEST_STEPS: u32 = 20;
/// Control steps that are made up at a time.
pub(super) const EXTRA_STEPS: u8 = 1;

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
    /// The timer is late: control steps are missed and made up.
    Missed,
    /// The same, but what is missed is left out.
    MissedHeld,
    /// The output buffer is not filled in time.
    Underrun,
    /// The board's temperature is lost.
    Temperature,
    /// Power fails, and the image of the settings is damaged.
    Image,
    /// Packets shake.
    LatePackets,
    /// Packets are lost.
    LostPackets,
    /// Packets end early.
    ShortPackets,
    /// Packets have more than 512 slots.
    LongPackets,
    /// Packets have another START code.
    Foreign,
    /// A bit of a slot is flipped.
    FlippedSlots,
    /// Packets come sooner than the standard lets them.
    EarlyPackets,
    /// Packets stay away until data count as lost.
    Silence,
    /// Power fails.
    PowerCut,
}

impl FaultKind {
    /// Those of a control gear, in the order of the table.
    pub const OF_GEAR: [Self; 11] = [
        Self::Flipped,
        Self::Lost,
        Self::Doubled,
        Self::Late,
        Self::Overflow,
        Self::TimeJump,
        Self::Missed,
        Self::MissedHeld,
        Self::Underrun,
        Self::Temperature,
        Self::Image,
    ];

    /// Those of a receiver of slots, likewise.
    pub const OF_SLOTS: [Self; 14] = [
        Self::LatePackets,
        Self::LostPackets,
        Self::ShortPackets,
        Self::LongPackets,
        Self::Foreign,
        Self::FlippedSlots,
        Self::EarlyPackets,
        Self::Silence,
        Self::TimeJump,
        Self::Missed,
        Self::MissedHeld,
        Self::Underrun,
        Self::Temperature,
        Self::PowerCut,
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
            Self::MissedHeld => "held_control_steps",
            Self::Underrun => "buffer_underrun",
            Self::Temperature => "temperature_lost",
            Self::Image => "corrupted_image",
            Self::LatePackets => "late_packets",
            Self::LostPackets => "lost_packets",
            Self::ShortPackets => "short_packets",
            Self::LongPackets => "long_packets",
            Self::Foreign => "foreign_start_codes",
            Self::FlippedSlots => "flipped_slots",
            Self::EarlyPackets => "early_packets",
            Self::Silence => "silence",
            Self::PowerCut => "power_cut",
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
            Self::Missed => "timer late by 1 to 20 control steps",
            Self::MissedHeld => "the same, the light holds",
            Self::Underrun => "buffer unfilled for 1 to 20 halves",
            Self::Temperature => "temperature lost for 0.1 to 2 s",
            Self::Image => "power cut, bits of the image flipped",
            Self::LatePackets => "packets late by up to 5 ms",
            Self::LostPackets => "lost packets",
            Self::ShortPackets => "packets that end early",
            Self::LongPackets => "packets of more than 512 slots",
            Self::Foreign => "packets of another START code",
            Self::FlippedSlots => "packets with a flipped bit",
            Self::EarlyPackets => "packets 1 ms after another",
            Self::Silence => "no packets for 1.5 to 3 s",
            Self::PowerCut => "power cut",
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
            Self::MissedHeld => "left out: fades stand meanwhile and end as much later",
            Self::Underrun => "the half before is sent again, then filling goes on after it",
            Self::Temperature => "drifts to the fallback and back by a quarter of a degree a step",
            Self::Image => "refused, each one; defaults are used, light comes on softly",
            Self::LatePackets => "lines follow the beat of the packets",
            Self::LostPackets => "a creep goes on, anything else waits for the next packet",
            Self::ShortPackets => "what a packet lacks stays as it was",
            Self::LongPackets | Self::Foreign | Self::EarlyPackets => {
                "refused; the next good one is taken"
            }
            Self::FlippedSlots => "another value: obeyed over a packet, until the next one",
            Self::Silence => "held, or faded to what the file says; the next packet brings it back",
            Self::PowerCut => "dark, then the first packet's values",
        }
    }

    /// Whether the light is compared with that of a twin that hears the same without a fault.
    pub(super) const fn has_twin(self) -> bool {
        matches!(
            self,
            Self::TimeJump
                | Self::Missed
                | Self::MissedHeld
                | Self::Underrun
                | Self::Temperature
                | Self::LatePackets
                | Self::LostPackets
                | Self::ShortPackets
                | Self::LongPackets
                | Self::Foreign
                | Self::EarlyPackets
        )
    }

    /// What the control clock does with control steps that are missed.
    pub(super) const fn late(self) -> Late {
        match self {
            Self::MissedHeld => Late::Hold,
            _ => Late::CatchUp { extra: EXTRA_STEPS },
        }
    }

    /// Whether it hits single packets.
    pub(super) const fn is_of_packets(self) -> bool {
        matches!(
            self,
            Self::LatePackets
                | Self::LostPackets
                | Self::ShortPackets
                | Self::LongPackets
                | Self::Foreign
                | Self::FlippedSlots
                | Self::EarlyPackets
        )
    }
}
