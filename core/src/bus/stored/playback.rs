//! A script on its way.

use super::{Book, Scene, Step};
use crate::fade::Pace;
use crate::luminaire::Target;

/// Where a script is: a control step at a time.
///
/// *Cost*: a subtraction while waiting; else at most as many steps as the script has, so that one which only jumps holds nothing up.
#[derive(Clone, Debug)]
pub struct Playback<const STEPS: usize> {
    place: u8,
    /// Control steps until the next step of the script.
    waiting: u32,
    /// Of each step that repeats, how many times are left; 0 when it is not repeating.
    left: [u8; STEPS],
}

impl<const STEPS: usize> Playback<STEPS> {
    /// At the first step.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            place: 0,
            waiting: 0,
            left: [0; STEPS],
        }
    }

    /// One control step of `control_hz` a second; where to go, if a scene begins.
    ///
    /// Call it before the luminaire's control step: the scene's fade then ends when the next step of the script begins.
    pub fn control_step<const N: usize, const SCENES: usize>(
        &mut self,
        book: &Book<N, SCENES, STEPS>,
        control_hz: u16,
    ) -> Option<(Target<N>, Pace)> {
        self.waiting = self.waiting.saturating_sub(1);
        for _ in 0..=STEPS {
            if self.waiting != 0 {
                return None;
            }
            match *book.steps().get(usize::from(self.place))? {
                Step::Stop => return None,
                Step::Scene(index) => {
                    self.place += 1;
                    let &Scene { target, tenths } = book.scenes().get(usize::from(index))?;
                    let pace = Pace::new(control_steps(tenths, control_hz));
                    self.waiting = pace.steps();
                    return Some((target, pace));
                }
                Step::Wait(tenths) => {
                    self.place += 1;
                    self.waiting = control_steps(tenths, control_hz);
                }
                Step::Jump(to) => self.place = to,
                Step::Repeat { from, times } => self.repeat(from, times),
            }
        }
        None
    }

    /// The step that comes next.
    pub const fn place(&self) -> u8 {
        self.place
    }

    fn repeat(&mut self, from: u8, times: u8) {
        let Some(left) = self.left.get_mut(usize::from(self.place)) else {
            return;
        };
        match *left {
            0 => (*left, self.place) = (times, from),
            1 => (*left, self.place) = (0, self.place + 1),
            _ => (*left, self.place) = (*left - 1, from),
        }
    }
}

impl<const STEPS: usize> Default for Playback<STEPS> {
    fn default() -> Self {
        Self::new()
    }
}

/// To the nearest.
const fn control_steps(tenths: u16, control_hz: u16) -> u32 {
    (tenths as u32 * control_hz as u32 + 5) / 10
}
