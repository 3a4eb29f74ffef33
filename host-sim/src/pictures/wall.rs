//! A frame of a camera with a rolling shutter that looks at an evenly lit wall.

use super::picture::{Exposed, Stripe};
use super::{Lit, Picture, together};
use crate::metrics::camera::{Camera, contrast, extremes};

/// The frame that begins at `start_s`: one row of pixels for one of the sensor.
#[must_use]
pub fn lit_wall(channels: &[Lit], camera: &Camera, start_s: f64) -> Picture {
    let rows: Vec<_> = (0..camera.rows)
        .map(|row| {
            let begin = start_s + f64::from(row) * camera.line_s;
            together(channels, begin, begin + camera.exposure_s)
        })
        .collect();
    let stripe = Stripe::new(&rows, Exposed::MeanAtHalf);
    let width = camera.rows * 4 / 3;
    let row = |pixel: &[u8; 3]| pixel.repeat(width as usize);
    let (least, most) = extremes(rows.iter().map(|[_, y, _]| *y));
    let caption = format!(
        "An evenly lit wall in one frame of a rolling shutter: {} rows {:.1} us apart, exposed 1/{:.0} s each. \
         Contrast of the rows {:.2} % (Michelson, luminance). The mean is exposed to half of full.{}",
        camera.rows,
        1e6 * camera.line_s,
        camera.exposure_s.recip(),
        100.0 * contrast(least, most),
        stripe.clipping()
    );
    Picture {
        width,
        height: camera.rows,
        rgb: stripe.pixels.iter().flat_map(row).collect(),
        caption,
    }
}
