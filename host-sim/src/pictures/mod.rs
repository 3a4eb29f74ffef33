//! Pictures for people, as PNG: what a camera, and an eye that meets motion, would get of the light. Information, no verdict.

mod eye;
mod picture;
mod rod;
mod srgb;
mod wall;

pub use eye::swept_point;
pub use picture::Picture;
pub use rod::waved_rod;
pub use wall::lit_wall;

use crate::colour::Xy;

/// One channel as the pictures take it.
#[derive(Clone, Copy)]
pub struct Lit<'a> {
    /// Its chromaticity.
    pub colour: Xy,
    /// Its light, flux x time, from the first tick to a time in seconds.
    pub until_s: &'a dyn Fn(f64) -> f64,
}

/// X, Y and Z.
type Xyz = [f64; 3];

impl Lit<'_> {
    /// What it gives between two times.
    fn between(&self, begin_s: f64, end_s: f64) -> Xyz {
        let light = (self.until_s)(end_s) - (self.until_s)(begin_s);
        let Xy { x, y } = self.colour;
        [light * x / y, light, light * (1.0 - x - y) / y]
    }
}

/// What channels give together between two times.
fn together(channels: &[Lit], begin_s: f64, end_s: f64) -> Xyz {
    channels.iter().fold([0.0; 3], |sum, channel| {
        let part = channel.between(begin_s, end_s);
        std::array::from_fn(|k| sum[k] + part[k])
    })
}
