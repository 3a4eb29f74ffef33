//! A point of light that a fast eye movement sweeps across the eye.

use std::f64::consts::PI;

use super::picture::{Exposed, Stripe};
use super::{Lit, Picture, Xyz, together};

/// A movement of 15 degrees, of the speed that such movements reach (common practice; the shape of its speed, one swing of
/// a raised cosine, is our choice).
const PEAK_DEGREES_PER_S: f64 = 500.0;
const SECONDS: f64 = 0.06;
/// Our choice: six minutes of arc.
const POINT_DEGREES: f64 = 0.1;
const PIXELS_PER_DEGREE: f64 = 120.0;
const SUM_PIXELS: usize = 60;
const CHANNEL_PIXELS: usize = 24;
const DARK_PIXELS: usize = 12;

/// The sweep of a movement that begins at `start_s`: the fast half of its time, all channels together and then each alone.
#[must_use]
pub fn swept_point(channels: &[Lit], start_s: f64) -> Picture {
    let (from, to) = (angle(SECONDS / 4.0), angle(3.0 * SECONDS / 4.0));
    let width = ((to - from) * PIXELS_PER_DEGREE) as usize;
    let sweep = |channels: &[Lit]| -> Vec<Xyz> {
        let columns = (0..width).map(|column| {
            let middle = from + (column as f64 + 0.5) / PIXELS_PER_DEGREE;
            let begin = time(middle - POINT_DEGREES / 2.0);
            let end = time(middle + POINT_DEGREES / 2.0);
            together(channels, start_s + begin, start_s + end)
        });
        columns.collect()
    };
    let sum = Stripe::new(&sweep(channels), Exposed::PeakAtFull);
    let dark = vec![0; 3 * width * DARK_PIXELS];
    let mut rgb = dark.clone();
    let mut add = |stripe: &Stripe, pixels| {
        rgb.extend(stripe.pixels.concat().repeat(pixels));
        rgb.extend(&dark);
    };
    add(&sum, SUM_PIXELS);
    for channel in channels {
        let alone = Stripe::new(&sweep(&[*channel]), Exposed::PeakAtFull);
        add(&alone, CHANNEL_PIXELS);
    }
    Picture {
        width: width as u32,
        height: (rgb.len() / 3 / width) as u32,
        rgb,
        caption: format!(
            "A point of light {:.0}' across, swept over the eye by a movement that peaks at {PEAK_DEGREES_PER_S:.0} degrees \
             a second: its fastest {:.0} ms, {:.1} degrees. On top all channels, below each alone; the brightest place of each is \
             shown at full. Even light leaves a smooth streak of one colour, brighter towards \
             both ends, where the movement is slower.{}",
            60.0 * POINT_DEGREES,
            1e3 * SECONDS / 2.0,
            to - from,
            sum.clipping()
        ),
    }
}

/// Degrees moved after a time.
fn angle(seconds: f64) -> f64 {
    let turn = 2.0 * PI / SECONDS;
    PEAK_DEGREES_PER_S / 2.0 * (seconds - (turn * seconds).sin() / turn)
}

/// When an angle is reached, by halving the interval down to the last digit.
fn time(degrees: f64) -> f64 {
    let (mut early, mut late) = (0.0, SECONDS);
    for _ in 0..60 {
        let middle = (early + late) / 2.0;
        if angle(middle) < degrees {
            early = middle;
        } else {
            late = middle;
        }
    }
    early
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_movement_is_as_fast_and_far_as_said() {
        assert!((angle(SECONDS) - 15.0).abs() < 1e-9);
        let step = 1e-6;
        let peak = (angle(SECONDS / 2.0 + step) - angle(SECONDS / 2.0)) / step;
        assert!((peak - PEAK_DEGREES_PER_S).abs() < 0.01, "{peak}");
        assert!((angle(time(5.0)) - 5.0).abs() < 1e-9);
    }
}
