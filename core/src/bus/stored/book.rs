//! Tables of scenes and of a script's steps.

use heapless::Vec;

use crate::luminaire::Target;

/// Where a luminaire goes, and in what time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Scene<const N: usize> {
    /// Level and colour.
    pub target: Target<N>,
    /// Tenths of a second to get there.
    pub tenths: u16,
}

/// A step of a script.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Step {
    /// Fade to a scene; the next step follows on arrival.
    Scene(u8),
    /// Hold for so many tenths of a second.
    Wait(u16),
    /// Go back to a step, not behind this one, so many times; then go on.
    Repeat {
        /// The step to go back to.
        from: u8,
        /// How many times, at least 1.
        times: u8,
    },
    /// Go to a step, wherever it is.
    Jump(u8),
    /// Stay here. The end of the table does the same.
    Stop,
}

/// Why tables were refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BookError {
    /// More scenes than there is room for.
    Scenes,
    /// More steps than there is room for.
    Steps,
    /// This step asks for a scene or a step that is not there, or repeats nothing or something behind it.
    Step(u8),
}

/// Scenes and a script that agree: every scene and step that a step asks for is there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Book<const N: usize, const SCENES: usize, const STEPS: usize> {
    scenes: Vec<Scene<N>, SCENES>,
    steps: Vec<Step, STEPS>,
}

impl<const N: usize, const SCENES: usize, const STEPS: usize> Book<N, SCENES, STEPS> {
    /// No scenes, no script.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            scenes: Vec::new(),
            steps: Vec::new(),
        }
    }

    /// From tables of at most 255 rows each.
    ///
    /// # Errors
    /// [`BookError`].
    pub fn from_tables(scenes: &[Scene<N>], steps: &[Step]) -> Result<Self, BookError> {
        let book = Self {
            scenes: Vec::from_slice(scenes).map_err(|_| BookError::Scenes)?,
            steps: Vec::from_slice(steps).map_err(|_| BookError::Steps)?,
        };
        book.validated()
    }

    /// The scenes.
    #[must_use]
    pub fn scenes(&self) -> &[Scene<N>] {
        &self.scenes
    }

    /// The script.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    fn validated(self) -> Result<Self, BookError> {
        if self.scenes.len() > 255 {
            return Err(BookError::Scenes);
        }
        if self.steps.len() > 255 {
            return Err(BookError::Steps);
        }
        match (0..=254)
            .zip(&self.steps)
            .find(|&(place, step)| !self.allows(place, *step))
        {
            Some((place, _)) => Err(BookError::Step(place)),
            None => Ok(self),
        }
    }

    fn allows(&self, place: u8, step: Step) -> bool {
        match step {
            Step::Scene(scene) => usize::from(scene) < self.scenes.len(),
            Step::Repeat { from, times } => from <= place && times != 0,
            Step::Jump(to) => usize::from(to) < self.steps.len(),
            Step::Wait(_) | Step::Stop => true,
        }
    }
}

impl<const N: usize, const SCENES: usize, const STEPS: usize> Default for Book<N, SCENES, STEPS> {
    fn default() -> Self {
        Self::new()
    }
}
