//! Flicker of steady light: its figures at the test lights, over the whole range, and before cameras.

mod cameras;
mod chromatic;
mod chromatic_exact;
mod fade_feed;
mod fades;
mod figures;
mod flashes;
mod judge;
mod light;
mod limits;
mod lit;
mod map;
mod near_duties;
mod near_fractions;
mod remedy;
mod severity;
mod sights;
mod slow_light;

pub(super) use cameras::{bands, contrast_at, judge_bands};
pub(super) use fade_feed::{Feed, feed};
pub(super) use fades::FadeFlicker;
pub(super) use figures::figures;
pub(super) use judge::judge;
pub(super) use limits::broken;
pub(super) use map::{metric_maps, metric_maps_until, row_at};
pub(super) use sights::sights;
