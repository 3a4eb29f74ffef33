//! The numbers of commands. *Source*: IEC 62386-102 (from memory).

/// What the data byte of a command asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Instruction {
    Move(Move),
    /// To be sent twice.
    Configure(Configure),
    Query(Query),
    /// Belongs to the device type enabled by the frame before.
    Extended(u8),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Move {
    Off,
    Up,
    Down,
    StepUp,
    StepDown,
    Maximum,
    Minimum,
    StepDownAndOff,
    OnAndStepUp,
    /// Moves nothing itself: direct levels that follow form a sequence.
    EnableSequence,
    LastActive,
    Scene(u8),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Configure {
    Reset,
    StoreActual,
    Maximum,
    Minimum,
    SystemFailure,
    PowerOn,
    FadeTime,
    FadeRate,
    ExtendedFadeTime,
    Scene(u8),
    RemoveScene(u8),
    AddGroup(u8),
    RemoveGroup(u8),
    ShortAddress,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Query {
    Status,
    Present,
    LampFailed,
    LampOn,
    Limited,
    ResetState,
    NoShortAddress,
    Version,
    Register(u8),
    DeviceType,
    PhysicalMinimum,
    PowerCycled,
    Actual,
    Maximum,
    Minimum,
    PowerOn,
    SystemFailure,
    FadeTimeAndRate,
    ExtendedFadeTime,
    Scene(u8),
    LowGroups,
    HighGroups,
}

impl Instruction {
    pub(super) const fn decode(code: u8) -> Option<Self> {
        if let Some(movement) = Move::decode(code) {
            return Some(Self::Move(movement));
        }
        if let Some(configure) = Configure::decode(code) {
            return Some(Self::Configure(configure));
        }
        if let Some(query) = Query::decode(code) {
            return Some(Self::Query(query));
        }
        match code {
            0xE0..=0xFE => Some(Self::Extended(code)),
            _ => None,
        }
    }
}

impl Move {
    const fn decode(code: u8) -> Option<Self> {
        Some(match code {
            0x00 => Self::Off,
            0x01 => Self::Up,
            0x02 => Self::Down,
            0x03 => Self::StepUp,
            0x04 => Self::StepDown,
            0x05 => Self::Maximum,
            0x06 => Self::Minimum,
            0x07 => Self::StepDownAndOff,
            0x08 => Self::OnAndStepUp,
            0x09 => Self::EnableSequence,
            0x0A => Self::LastActive,
            0x10..=0x1F => Self::Scene(code & 15),
            _ => return None,
        })
    }
}

impl Configure {
    const fn decode(code: u8) -> Option<Self> {
        Some(match code {
            0x20 => Self::Reset,
            0x21 => Self::StoreActual,
            0x2A => Self::Maximum,
            0x2B => Self::Minimum,
            0x2C => Self::SystemFailure,
            0x2D => Self::PowerOn,
            0x2E => Self::FadeTime,
            0x2F => Self::FadeRate,
            0x30 => Self::ExtendedFadeTime,
            0x40..=0x4F => Self::Scene(code & 15),
            0x50..=0x5F => Self::RemoveScene(code & 15),
            0x60..=0x6F => Self::AddGroup(code & 15),
            0x70..=0x7F => Self::RemoveGroup(code & 15),
            0x80 => Self::ShortAddress,
            _ => return None,
        })
    }
}

impl Query {
    const fn decode(code: u8) -> Option<Self> {
        Some(match code {
            0x90 => Self::Status,
            0x91 => Self::Present,
            0x92 => Self::LampFailed,
            0x93 => Self::LampOn,
            0x94 => Self::Limited,
            0x95 => Self::ResetState,
            0x96 => Self::NoShortAddress,
            0x97 => Self::Version,
            0x98 => Self::Register(0),
            0x99 => Self::DeviceType,
            0x9A => Self::PhysicalMinimum,
            0x9B => Self::PowerCycled,
            0x9C => Self::Register(1),
            0x9D => Self::Register(2),
            0xA0 => Self::Actual,
            0xA1 => Self::Maximum,
            0xA2 => Self::Minimum,
            0xA3 => Self::PowerOn,
            0xA4 => Self::SystemFailure,
            0xA5 => Self::FadeTimeAndRate,
            0xA8 => Self::ExtendedFadeTime,
            0xB0..=0xBF => Self::Scene(code & 15),
            0xC0 => Self::LowGroups,
            0xC1 => Self::HighGroups,
            _ => return None,
        })
    }
}
