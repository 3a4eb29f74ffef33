//! A picture and its caption.

use super::Xyz;
use super::srgb::{encoded, is_clipped, linear};

/// A picture, 8 bits of red, green and blue a pixel (sRGB).
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Red, green, blue of each pixel, row by row from the top left.
    pub rgb: Vec<u8>,
    /// What is seen, with the geometry.
    pub caption: String,
}

impl Picture {
    /// The picture as a PNG file; the same picture gives the same bytes.
    #[must_use]
    pub fn png(&self) -> Vec<u8> {
        let mut file = Vec::new();
        let mut encoder = png::Encoder::new(&mut file, self.width, self.height);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_source_srgb(png::SrgbRenderingIntent::RelativeColorimetric);
        let mut writer = encoder.write_header().expect("a Vec takes every byte");
        writer
            .write_image_data(&self.rgb)
            .expect("as many bytes as the size says");
        writer.finish().expect("a Vec takes every byte");
        file
    }
}

/// How bright a stripe is shown.
#[derive(Clone, Copy)]
pub(super) enum Exposed {
    /// The strongest of the mean's red, green and blue at half of the screen's, as a camera exposes.
    MeanAtHalf,
    /// The strongest red, green or blue of all at the screen's full.
    PeakAtFull,
}

/// Colours along a line, ready for the screen.
pub(super) struct Stripe {
    pub(super) pixels: Vec<[u8; 3]>,
    /// Share of the pixels that lie outside what the screen can show.
    clipped: f64,
}

impl Stripe {
    pub(super) fn new(colours: &[Xyz], exposed: Exposed) -> Self {
        let colours: Vec<_> = colours.iter().map(|&xyz| linear(xyz)).collect();
        let (reference, shown) = match exposed {
            Exposed::MeanAtHalf => (strongest(&[mean(&colours)]), 0.5),
            Exposed::PeakAtFull => (strongest(&colours), 1.0),
        };
        let gain = if reference > 0.0 {
            shown / reference
        } else {
            0.0
        };
        let shown: Vec<_> = colours
            .iter()
            .map(|rgb| rgb.map(|part| part * gain))
            .collect();
        let clipped = shown.iter().filter(|rgb| is_clipped(**rgb)).count();
        Self {
            pixels: shown.into_iter().map(encoded).collect(),
            clipped: clipped as f64 / colours.len() as f64,
        }
    }

    /// A sentence on clipping, or nothing.
    pub(super) fn clipping(&self) -> String {
        if self.clipped == 0.0 {
            return String::new();
        }
        format!(
            " {:.0} % of the colours lie outside sRGB and are clipped.",
            (100.0 * self.clipped).ceil()
        )
    }
}

fn strongest(colours: &[[f64; 3]]) -> f64 {
    colours.iter().flatten().copied().fold(0.0, f64::max)
}

fn mean(colours: &[[f64; 3]]) -> [f64; 3] {
    std::array::from_fn(|k| colours.iter().map(|rgb| rgb[k]).sum::<f64>() / colours.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    const D65: Xyz = [0.9505, 1.0, 1.0890];

    #[test]
    fn a_stripe_is_exposed_as_asked() {
        let colours = [D65.map(|part| 0.5 * part), D65.map(|part| 1.5 * part)];
        let by_mean = Stripe::new(&colours, Exposed::MeanAtHalf);
        // 0.25 and 0.75 of the screen's full.
        assert_eq!(by_mean.pixels, [[137; 3], [225; 3]]);
        assert_eq!(by_mean.clipping(), "");
        let by_peak = Stripe::new(&colours, Exposed::PeakAtFull);
        assert_eq!(by_peak.pixels[1], [255; 3]);
        let flash = Stripe::new(&[D65, [0.0; 3], [0.0; 3], [0.0; 3]], Exposed::MeanAtHalf);
        assert_eq!(
            flash.clipping(),
            " 25 % of the colours lie outside sRGB and are clipped."
        );
        assert_eq!(
            Stripe::new(&[[0.0; 3]], Exposed::PeakAtFull).pixels,
            [[0; 3]]
        );
    }

    #[test]
    fn a_file_holds_the_pixels_and_is_the_same_each_time() {
        let picture = Picture {
            width: 2,
            height: 1,
            rgb: vec![1, 2, 3, 250, 251, 252],
            caption: String::new(),
        };
        let file = picture.png();
        assert_eq!(file, picture.png());
        let mut reader = png::Decoder::new(std::io::Cursor::new(&file))
            .read_info()
            .unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        let frame = reader.next_frame(&mut pixels).unwrap();
        assert_eq!((frame.width, frame.height), (2, 1));
        assert_eq!(pixels, picture.rgb);
    }
}
