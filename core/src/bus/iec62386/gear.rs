//! The state machine of a control gear.

use super::colour_command::Temporary;
use super::{Counts, MASK, Settings};
use crate::bus::{Colour, Movement};
use crate::curve::{ControlCurve, ControlLevel};
use crate::fade::{Fade, Pace};
use crate::{Error, Level, Light};

/// What a gear is: may sit in flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Configuration {
    /// From control level to light; the luminaire must run the curve of [`ControlCurve::continuous`].
    pub curve: ControlCurve,
    /// The lowest light that the luminaire can hold.
    pub lowest: Light,
    /// Control steps a second, 100 to 10 000.
    pub control_hz: u16,
    /// How long the light takes to its power-on level, in tenths of a second.
    pub soft_start_tenths: u16,
    /// The coolest and the warmest colour temperature, in mirek, that a command can reach.
    pub mirek: [u16; 2],
}

/// A control gear on the bus: short address, groups, levels, fades, scenes, colour.
///
/// It walks its own Level beside the luminaire's, by the same arithmetic, so that queries and commands in flight find the present
/// level. From off a fade begins at the minimum level, and a fade to off runs to the minimum level and ends dark: both
/// from memory. Up and down move by exactly their rate times 200 ms, and may so come to rest between two control levels.
///
/// *Time*: control steps, and time stamps in ms that may wrap. *Cost*: a control step is one of [`Fade::step`]; a
/// command that moves divides four times at most. *State*: 384 bytes, of which the scenes take 256. *Interrupts*: one
/// context at a time; hand movements over.
///
/// ```
/// use milliglow::bus::iec62386::{Configuration, Gear};
/// use milliglow::curve::ControlCurve;
/// use milliglow::{Level, Light, constant};
///
/// const CONFIGURATION: Configuration = Configuration {
///     curve: ControlCurve::Logarithmic,
///     lowest: constant!(Light::from_ratio_nearest(1, 1_000)),
///     control_hz: 1_000,
///     soft_start_tenths: 5,
///     mirek: [153, 370],
/// };
/// let mut gear = constant!(Gear::new(&CONFIGURATION));
/// let _ = gear.receive(0xFEFE, 0); // to all: level 254
/// assert_eq!(gear.level(), Level::FULL);
/// assert_eq!(gear.receive(0xFFA0, 20).answer, Some(254)); // which level?
/// ```
#[derive(Clone, Debug)]
pub struct Gear {
    pub(super) configuration: Configuration,
    pub(super) settings: Settings,
    pub(super) fade: Fade<1>,
    /// Where the Level is going.
    pub(super) goal: Level,
    /// The fade that runs ends dark.
    pub(super) off_at_arrival: bool,
    /// The last level asked for was not allowed.
    pub(super) limited: bool,
    pub(super) lamp_failed: bool,
    /// No level command since the power came.
    pub(super) power_cycled: bool,
    pub(super) registers: [u8; 3],
    /// A command that must come again, and when it came.
    pub(super) pending: Option<(u16, u32)>,
    /// Enabled for the next command.
    pub(super) device_type: u8,
    pub(super) colour: Option<Colour>,
    pub(super) temporary: Temporary,
    /// When the last frame of a sequence of direct levels came.
    pub(super) sequence: Option<u32>,
    pub(super) counts: Counts,
}

impl Gear {
    /// A dark gear with the settings of a reset and no short address.
    ///
    /// # Errors
    /// [`Error::ControlRate`].
    pub const fn new(configuration: &Configuration) -> Result<Self, Error> {
        if configuration.control_hz < 100 || configuration.control_hz > 10_000 {
            return Err(Error::ControlRate);
        }
        let minimum = ControlLevel::physical_minimum(configuration.curve, configuration.lowest);
        Ok(Self {
            configuration: *configuration,
            settings: Settings::new(minimum.number(), MASK),
            fade: Fade::at([0]),
            goal: Level::OFF,
            off_at_arrival: false,
            limited: false,
            lamp_failed: false,
            power_cycled: true,
            registers: [0; 3],
            pending: None,
            device_type: MASK,
            colour: None,
            temporary: Temporary::NONE,
            sequence: None,
            counts: Counts::NONE,
        })
    }

    /// What must outlive the power: to be stored when it changes.
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Takes up what was stored; the minimum level is raised if the luminaire can no longer go so low.
    pub fn restore(&mut self, settings: &Settings) {
        let physical_minimum = self.settings.limits.physical_minimum;
        let stored = settings.limits;
        self.settings = *settings;
        self.settings.limits.physical_minimum = physical_minimum;
        self.settings
            .limits
            .set_maximum(stored.maximum.max(physical_minimum));
        self.settings.limits.set_minimum(stored.minimum);
    }

    /// One control step; a movement when a fade to off has run out.
    pub fn control_step(&mut self) -> Option<Movement> {
        self.fade.step();
        if !self.off_at_arrival || self.fade.remaining() != 0 {
            return None;
        }
        self.off_at_arrival = false;
        self.goal = Level::OFF;
        self.fade = Fade::at([0]);
        Some(Movement {
            from: None,
            level: Level::OFF,
            colour: None,
            pace: Pace::AT_ONCE,
        })
    }

    /// Where the Level is now.
    #[must_use]
    pub fn level(&self) -> Level {
        let [bits] = self.fade.values();
        Level::from_bits(bits as u16)
    }

    /// The control level nearest to where the light is now; 0 for off.
    #[must_use]
    pub fn actual(&self) -> u8 {
        let nearest = self.configuration.curve.nearest(self.level());
        nearest.map_or(0, ControlLevel::number)
    }

    /// Control steps until the light arrives; 0 when standing still.
    pub const fn remaining(&self) -> u32 {
        self.fade.remaining()
    }

    /// What came in.
    pub const fn counts(&self) -> Counts {
        self.counts
    }

    /// Whether a lamp is known to have failed, for those who ask.
    pub const fn report_lamp(&mut self, failed: bool) {
        self.lamp_failed = failed;
    }
}
