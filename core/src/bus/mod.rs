//! What a luminaire is told on a bus: bytes and time stamps in, where to go out. No physical layer.
//!
//! [`iec62386`] takes frames of 16 bits and yields a [`Movement`] for each command that moves the light;
//! [`dmx512`] takes packets of slots and yields values that move smoothly every control step.
//! [`FrameQueue`] brings frames from an interrupt to the control loop, [`Palette`] makes recipes of their colours, and
//! [`ControlClock`] says how many control steps are due when the timer was late or the time base jumped.
//! `stored` (feature of that name) keeps scenes, scripts and settings as images that recognise their own damage.
//!
//! # When something goes wrong
//!
//! Each has one behaviour, and a count or an answer that the firmware can read. `milliglow check --faults` injects them and holds the light to the
//! rule of less than 5 % below 90 Hz.
//!
//! | what | the light | read it from |
//! |---|---|---|
//! | power comes | dark before the first control step, then softly to the power-on level ([`Gear::power_on`]), or the first packet's values | query 0x9B; `taken` of [`dmx512::Counts`] |
//! | power came back | the scene that was saved (`stored::Scene`), faded to from dark; settings as they were (`Gear::restore`) | `Result` of `from_image` |
//! | image damaged, torn, old, of something else | defaults hold | `stored::ImageError`, which says which; [`FrameQueue`] and gear are untouched |
//! | bus without power | the system-failure level at once ([`Gear::bus_failed`]), or as it was | whoever calls it |
//! | packets stay away | held, or faded to a scene ([`dmx512::OnLoss`]) | `losses` of [`dmx512::Counts`], [`dmx512::Slots::is_lost`] |
//! | packet too long, too soon, empty; of another START code; short | unchanged; unchanged; what it lacks is | `refused`, `foreign`, `short` of [`dmx512::Counts`] |
//! | frame reserved or unknown; for others; a command that must come twice and did not | unchanged | `unknown`, `others`, `single` of [`iec62386::Counts`] |
//! | more frames than the queue holds | those that came first are heard | [`FrameQueue::overflows`] |
//! | control steps missed | made up a few at a time, no jump, fades end on time; or left out, fades end later ([`Late`]) | `late`, `dropped` of [`ClockCounts`], [`ControlClock::missing`] |
//! | timer too early | waits | `early` of [`ClockCounts`] |
//! | time base jumps | goes on by a control step; a pair or sequence of frames that the jump tears is none | `jumps` of [`ClockCounts`] |
//! | buffer not filled in time | the half before is sent again, then filling goes on after it | [`Refill::underruns`](crate::output::Refill::underruns) |
//! | temperature lost or senseless | drifts to the fallback, a quarter of a degree a step | [`Estimator::lost_inputs`](crate::flux_correction::Estimator::lost_inputs) |
//!
//! [`Gear::power_on`]: iec62386::Gear::power_on
//! [`Gear::bus_failed`]: iec62386::Gear::bus_failed

mod colour;
mod control_clock;
pub mod dmx512;
pub mod iec62386;
mod movement;
mod palette;
mod queue;
#[cfg(feature = "stored")]
pub mod stored;

pub use colour::{Colour, PRIMARIES};
pub use control_clock::{ClockCounts, ControlClock, Late};
pub use movement::Movement;
pub use palette::Palette;
pub use queue::FrameQueue;
