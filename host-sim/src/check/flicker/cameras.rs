//! What rolling-shutter cameras would show of a recipe at their lights.

use milliglow::Level;
use rayon::prelude::*;

use super::super::hardware::{factors, faster_pulses};
use super::super::rules::camera_rule;
use super::super::words::place;
use super::judge::first_order_remedy;
use super::light::Light;
use super::lit::SummedChannel;
use crate::description::{Camera as Described, Description, LevelChoice};
use crate::metrics::camera::{Camera, WorstBands, row_light_at_any_phase, worst_bands};
use crate::numbers::{percent, quantity};
use crate::optics::{SteadyChannel, light_in_a_window};
use crate::pictures::{Lit, lit_wall};
use crate::run::{Bands, level, steady};
use crate::verdict::Verdict;

/// Exposures tried from 5 % below to 5 % above.
const EXPOSURES: u32 = 401;

/// Bands of every recipe before every camera at each of its lights.
pub(in crate::check) fn bands(description: &Description) -> Vec<Bands> {
    let mut places = Vec::new();
    for (camera, described) in description.cameras.iter().enumerate() {
        for recipe in 0..description.recipes.len() {
            places.extend(
                described
                    .lights
                    .iter()
                    .map(|&light| (camera, recipe, light)),
            );
        }
    }
    places
        .into_par_iter()
        .filter_map(|place| bands_at(description, place))
        .collect()
}

fn bands_at(
    description: &Description,
    (index, recipe, light): (usize, usize, f64),
) -> Option<Bands> {
    let level = level(description, LevelChoice::Light(light));
    if level == Level::OFF {
        return None;
    }
    let camera = timing(&description.cameras[index]);
    let seen = Seen::new(description, recipe, level, &camera, FRAMES);
    let worst = seen.worst(&camera)?;
    let shown = Camera {
        exposure_s: worst.exposure_s,
        ..camera
    };
    let total = |seconds: f64| {
        seen.channels
            .iter()
            .map(|(_, until)| until(seconds))
            .sum::<f64>()
    };
    let lit: Vec<_> = seen
        .channels
        .iter()
        .map(|(colour, until)| Lit {
            colour: *colour,
            until_s: until,
        })
        .collect();
    let picture = lit_wall(&lit, &shown, 0.0);
    Some(Bands {
        camera: index,
        recipe,
        light,
        contrast: worst.contrast,
        exposure_s: worst.exposure_s,
        frame_flicker: shown.frame_flicker(total, 0.0, FRAMES),
        picture: picture.png(),
        caption: picture.caption,
    })
}

/// The worst contrast alone, of a recipe held at a Level.
pub(in crate::check) fn contrast_at(
    description: &Description,
    camera: usize,
    recipe: usize,
    level: Level,
) -> Option<f64> {
    let camera = timing(&description.cameras[camera]);
    let worst = Seen::new(description, recipe, level, &camera, 0).worst(&camera);
    worst.map(|worst| worst.contrast)
}

/// A decay so many times shorter than an exposure leaves its bands alone.
const SHORT: f64 = 100.0;

/// Frames whose sums are compared.
const FRAMES: u32 = 8;

fn timing(camera: &Described) -> Camera {
    Camera {
        frame_hz: camera.frame_hz,
        rows: camera.rows,
        line_s: camera.line_s,
        exposure_s: camera.exposure_s,
    }
}

/// A light as a camera meets it.
struct Seen<'a> {
    tick_hz: f64,
    closed_form: Option<Vec<SteadyChannel>>,
    channels: Vec<SummedChannel<'a>>,
}

impl Seen<'_> {
    /// For a frame's rows, and so many frames more.
    fn new(
        description: &Description,
        recipe: usize,
        level: Level,
        camera: &Camera,
        frames: u32,
    ) -> Self {
        let light = Light::new(description, recipe, level);
        let frame_s = f64::from(camera.rows) * camera.line_s + 3.0 * camera.exposure_s;
        Self {
            tick_hz: f64::from(description.tick_hz),
            // Bounds hold whatever the decay, but are wide of a light that decays about as long as the exposure lasts.
            closed_form: light
                .channels()
                .filter(|_| light.decay_s() * SHORT <= camera.exposure_s),
            channels: light.summed(f64::from(frames) / camera.frame_hz + frame_s),
        }
    }

    /// Over the exposure's tolerance and all phases.
    fn worst(&self, camera: &Camera) -> Option<WorstBands> {
        match &self.closed_form {
            Some(channels) => worst_closed(channels, camera, self.tick_hz),
            None => worst_bands(exposures(camera).step_by(50), |exposure| {
                self.any_phase(exposure, camera)
            }),
        }
    }

    /// Rows begin a line time apart, over several frames.
    fn any_phase(&self, exposure_s: f64, camera: &Camera) -> (f64, f64) {
        let total = |seconds: f64| {
            self.channels
                .iter()
                .map(|(_, until)| until(seconds))
                .sum::<f64>()
        };
        row_light_at_any_phase(total, exposure_s, camera.line_s, camera.rows)
    }
}

/// From 5 % below to 5 % above the camera's exposure.
fn exposures(camera: &Camera) -> impl Iterator<Item = f64> + use<> {
    let (shortest, longest) = camera.exposures();
    let step = (longest - shortest) / f64::from(EXPOSURES - 1);
    (0..EXPOSURES).map(move |k| shortest + step * f64::from(k))
}

fn worst_closed(channels: &[SteadyChannel], camera: &Camera, tick_hz: f64) -> Option<WorstBands> {
    worst_bands(exposures(camera), |exposure| {
        light_in_a_window(channels, (exposure * tick_hz).round() as u64)
    })
}

/// A verdict for each, and the worst.
pub(in crate::check) fn judge_bands(description: &Description, bands: &[Bands]) -> Vec<Verdict> {
    let mut rows: Vec<_> = bands
        .iter()
        .map(|bands| judge(description, bands))
        .collect();
    let worst = rows
        .iter()
        .max_by(|a, b| over(a).total_cmp(&over(b)))
        .cloned();
    rows.extend(worst.map(Verdict::worst));
    rows
}

fn over(verdict: &Verdict) -> f64 {
    verdict.value.unwrap_or(0.0) / verdict.limit
}

fn judge(description: &Description, bands: &Bands) -> Verdict {
    let camera = &description.cameras[bands.camera];
    let at = format!(
        "{}, {}",
        camera.name,
        place(description, bands.recipe, bands.light)
    );
    let reason = format!(
        "worst at an exposure of {}; frames differ by {}; a single stream passes from {} on",
        quantity(bands.exposure_s, "s"),
        percent(bands.frame_flicker),
        quantity(timing(camera).pulse_rate_to_pass(camera.contrast), "Hz")
    );
    camera_rule(camera.contrast)
        .judge(at, bands.contrast, reason)
        .mended_by(|| Some(remedy(description, camera, bands)))
}

/// What would let first-order streams of these densities keep the limit.
fn remedy(description: &Description, camera: &Described, bands: &Bands) -> String {
    let level = level(description, LevelChoice::Light(bands.light));
    let stands = steady(description, bands.recipe, level).stands();
    let channels: Vec<_> = stands
        .iter()
        .zip(&description.channels)
        .map(|(stand, channel)| SteadyChannel::new(stand.density, 0, channel.flux_lm))
        .collect();
    let tick_hz = f64::from(description.tick_hz);
    let passes = |factor: &f64| {
        let worst = worst_closed(&channels, &timing(camera), tick_hz * factor);
        worst.is_none_or(|worst| worst.contrast <= camera.contrast)
    };
    let others = first_order_remedy(description)
        .map_or(String::new(), |first_order| format!("{first_order}; "));
    let faster = factors()
        .find(passes)
        .map(|factor| faster_pulses(description, factor));
    others + &faster.unwrap_or_else(|| "expose longer: no pulse rate would do".to_owned())
}
