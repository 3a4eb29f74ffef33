//! The settings of a gear as bytes.

use super::limits::Limits;
use super::settings::{Scene, Settings};
use super::{ExtendedFadeTime, FadeRate, FadeTime, MASK};
use crate::bus::stored::ImageError;
use crate::bus::stored::image::{FRAME, Kind, Reader, Writer, open, seal};
use crate::bus::{Colour, PRIMARIES};

/// Bytes of an image of settings.
pub const SETTINGS_BYTES: usize = FRAME + 12 + 16 * (2 + 2 * PRIMARIES);

impl Settings {
    /// Writes the image, of [`SETTINGS_BYTES`] bytes, to the start of `bytes`; how long it is.
    ///
    /// # Errors
    /// [`ImageError::NoRoom`]: then what was written is no image.
    pub fn to_image(&self, bytes: &mut [u8]) -> Result<usize, ImageError> {
        seal(Kind::Settings, bytes, |out| {
            let single = [
                self.limits.physical_minimum,
                self.limits.minimum,
                self.limits.maximum,
                self.power_on,
                self.system_failure,
                self.fade_time.code(),
                self.extended.byte(),
                self.fade_rate.code(),
                self.short_address,
                self.last_active,
            ];
            single.into_iter().try_for_each(|byte| out.u8(byte))?;
            out.u16(self.groups)?;
            self.scenes
                .iter()
                .try_for_each(|scene| write_scene(scene, out))
        })
    }

    /// Reads an image at the start of `bytes`.
    ///
    /// # Errors
    /// [`ImageError`].
    pub fn from_image(bytes: &[u8]) -> Result<Self, ImageError> {
        let mut content = open(Kind::Settings, bytes)?;
        let limits = read_limits(&mut content)?;
        let mut settings = Self::new(limits.physical_minimum, MASK);
        settings.limits = limits;
        settings.power_on = content.u8()?;
        settings.system_failure = content.u8()?;
        settings.fade_time = FadeTime::from_code_saturating(content.u8()?);
        settings.extended = ExtendedFadeTime::from_byte(content.u8()?);
        settings.fade_rate = FadeRate::from_code_saturating(content.u8()?);
        settings.short_address = content.u8()?;
        settings.last_active = content.u8()?;
        settings.groups = content.u16()?;
        for scene in &mut settings.scenes {
            *scene = read_scene(&mut content)?;
        }
        content.end()?;
        let is_addressed = settings.short_address < 64 || settings.short_address == MASK;
        if !is_addressed || matches!(settings.last_active, 0 | MASK) {
            return Err(ImageError::Content);
        }
        Ok(settings)
    }
}

fn read_limits(content: &mut Reader<'_>) -> Result<Limits, ImageError> {
    let limits = Limits {
        physical_minimum: content.u8()?,
        minimum: content.u8()?,
        maximum: content.u8()?,
    };
    let rising = [
        0,
        limits.physical_minimum,
        limits.minimum,
        limits.maximum,
        254,
    ];
    if limits.physical_minimum == 0 || !rising.is_sorted() {
        return Err(ImageError::Content);
    }
    Ok(limits)
}

fn write_scene(scene: &Scene, out: &mut Writer<'_>) -> Result<(), ImageError> {
    let (kind, values) = match scene.colour {
        None => (0, [0; PRIMARIES]),
        Some(Colour::Chromaticity { x, y }) => (1, [x, y, 0, 0, 0, 0]),
        Some(Colour::Mirek(mirek)) => (2, [mirek, 0, 0, 0, 0, 0]),
        Some(Colour::Primaries(levels)) => (3, levels),
        Some(Colour::Rgbwaf(levels)) => (4, levels.map(u16::from)),
    };
    out.u8(scene.level)?;
    out.u8(kind)?;
    values.into_iter().try_for_each(|value| out.u16(value))
}

fn read_scene(content: &mut Reader<'_>) -> Result<Scene, ImageError> {
    let (level, kind) = (content.u8()?, content.u8()?);
    let mut values = [0; PRIMARIES];
    for value in &mut values {
        *value = content.u16()?;
    }
    let [first, second, ..] = values;
    let colour = match kind {
        0 => None,
        1 => Some(Colour::Chromaticity {
            x: first,
            y: second,
        }),
        2 => Some(Colour::Mirek(first)),
        3 => Some(Colour::Primaries(values)),
        4 if values.iter().all(|&value| value <= 255) => {
            Some(Colour::Rgbwaf(values.map(|value| value as u8)))
        }
        _ => return Err(ImageError::Content),
    };
    Ok(Scene { level, colour })
}
