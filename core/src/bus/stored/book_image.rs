//! Scenes and script as bytes.

use super::image::{FRAME, ImageError, Kind, Reader, Writer, open, seal};
use super::{Book, Scene, Step};
use crate::luminaire::Target;
use crate::{Level, Recipe, Share};

impl<const N: usize, const SCENES: usize, const STEPS: usize> Book<N, SCENES, STEPS> {
    /// Most bytes of an image.
    pub const IMAGE_BYTES: usize = FRAME + 3 + SCENES * (4 + 4 * N) + STEPS * 3;

    /// Writes the image to the start of `bytes`; how long it is.
    ///
    /// # Errors
    /// [`ImageError::NoRoom`]: then what was written is no image.
    pub fn to_image(&self, bytes: &mut [u8]) -> Result<usize, ImageError> {
        seal(Kind::Book, bytes, |out| {
            for count in [N, self.scenes().len(), self.steps().len()] {
                out.u8(u8::try_from(count).map_err(|_| ImageError::NoRoom)?)?;
            }
            self.scenes()
                .iter()
                .try_for_each(|scene| write_scene(scene, out))?;
            self.steps()
                .iter()
                .try_for_each(|step| write_step(*step, out))
        })
    }

    /// Reads an image at the start of `bytes`.
    ///
    /// # Errors
    /// [`ImageError`].
    pub fn from_image(bytes: &[u8]) -> Result<Self, ImageError> {
        let mut content = open(Kind::Book, bytes)?;
        let channels = usize::from(content.u8()?);
        let (scenes, steps) = (content.u8()?, content.u8()?);
        if channels != N {
            return Err(ImageError::Content);
        }
        let mut read_scenes = heapless::Vec::<_, SCENES>::new();
        for _ in 0..scenes {
            let scene = read_scene(&mut content)?;
            read_scenes.push(scene).map_err(|_| ImageError::Content)?;
        }
        let mut read_steps = heapless::Vec::<_, STEPS>::new();
        for _ in 0..steps {
            let step = read_step(&mut content)?;
            read_steps.push(step).map_err(|_| ImageError::Content)?;
        }
        content.end()?;
        Self::from_tables(&read_scenes, &read_steps).map_err(|_| ImageError::Content)
    }

    /// Reads an image, or takes the defaults and says why.
    #[must_use]
    pub fn from_image_or(bytes: &[u8], defaults: Self) -> (Self, Option<ImageError>) {
        match Self::from_image(bytes) {
            Ok(book) => (book, None),
            Err(error) => (defaults, Some(error)),
        }
    }
}

/// One scene alone: what a luminaire was told last, to resume after a brown-out.
impl<const N: usize> Scene<N> {
    /// Bytes of an image.
    pub const IMAGE_BYTES: usize = FRAME + 4 + 4 * N;

    /// Writes the image to the start of `bytes`; how long it is.
    ///
    /// # Errors
    /// [`ImageError::NoRoom`]: then what was written is no image.
    pub fn to_image(&self, bytes: &mut [u8]) -> Result<usize, ImageError> {
        seal(Kind::Scene, bytes, |out| write_scene(self, out))
    }

    /// Reads an image at the start of `bytes`.
    ///
    /// # Errors
    /// [`ImageError`].
    pub fn from_image(bytes: &[u8]) -> Result<Self, ImageError> {
        let mut content = open(Kind::Scene, bytes)?;
        let scene = read_scene(&mut content).map_err(|_| ImageError::Content)?;
        content.end()?;
        Ok(scene)
    }
}

fn write_scene<const N: usize>(scene: &Scene<N>, out: &mut Writer<'_>) -> Result<(), ImageError> {
    out.u16(scene.target.level.to_bits())?;
    out.u16(scene.tenths)?;
    let mut shares = scene.target.recipe.shares().iter();
    shares.try_for_each(|share| out.u32(share.to_bits()))
}

fn read_scene<const N: usize>(content: &mut Reader<'_>) -> Result<Scene<N>, ImageError> {
    let level = Level::from_bits(content.u16()?);
    let tenths = content.u16()?;
    let mut shares = [Share::NONE; N];
    for share in &mut shares {
        *share = Share::from_bits(content.u32()?);
    }
    let recipe = Recipe::new(shares);
    Ok(Scene {
        target: Target { level, recipe },
        tenths,
    })
}

fn write_step(step: Step, out: &mut Writer<'_>) -> Result<(), ImageError> {
    let (code, operands) = match step {
        Step::Scene(index) => (0, [index, 0]),
        Step::Wait(tenths) => (1, tenths.to_le_bytes()),
        Step::Repeat { from, times } => (2, [from, times]),
        Step::Jump(to) => (3, [to, 0]),
        Step::Stop => (4, [0, 0]),
    };
    out.u8(code)?;
    out.u16(u16::from_le_bytes(operands))
}

fn read_step(content: &mut Reader<'_>) -> Result<Step, ImageError> {
    let code = content.u8()?;
    match (code, content.u16()?.to_le_bytes()) {
        (0, [index, 0]) => Ok(Step::Scene(index)),
        (1, tenths) => Ok(Step::Wait(u16::from_le_bytes(tenths))),
        (2, [from, times]) => Ok(Step::Repeat { from, times }),
        (3, [to, 0]) => Ok(Step::Jump(to)),
        (4, [0, 0]) => Ok(Step::Stop),
        _ => Err(ImageError::Content),
    }
}
