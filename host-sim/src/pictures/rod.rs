//! A bright rod waved in the light, as a still eye or an open shutter sees it.

use super::picture::{Exposed, Stripe};
use super::{Lit, Picture, together};

/// The fastest motion that the stroboscopic visibility measure covers (IEC TR 63158, its scope).
const SPEED_M_PER_S: f64 = 4.0;
/// Our choice.
const ROD_M: f64 = 0.01;
/// Our choice: as long as the eye sums light in dim surroundings (about a tenth of a second, common practice).
const SECONDS: f64 = 0.1;
/// Pixels of half a millimetre.
const PIXELS_PER_M: f64 = 2_000.0;
const ROD_PIXELS: usize = 120;
const DARK_PIXELS: usize = 30;

/// The wave that begins at `start_s`.
#[must_use]
pub fn waved_rod(channels: &[Lit], start_s: f64) -> Picture {
    let width = ((SPEED_M_PER_S * SECONDS + ROD_M) * PIXELS_PER_M) as usize;
    let columns: Vec<_> = (0..width)
        .map(|column| {
            // The rod's leading edge reaches a place, and its trailing edge leaves it.
            let place = (column as f64 + 0.5) / PIXELS_PER_M;
            let begin = ((place - ROD_M) / SPEED_M_PER_S).max(0.0);
            let end = (place / SPEED_M_PER_S).min(SECONDS);
            together(channels, start_s + begin, start_s + end)
        })
        .collect();
    let stripe = Stripe::new(&columns, Exposed::PeakAtFull);
    let dark = vec![0; 3 * width * DARK_PIXELS];
    let lit = stripe.pixels.concat().repeat(ROD_PIXELS);
    Picture {
        width: width as u32,
        height: (ROD_PIXELS + 2 * DARK_PIXELS) as u32,
        rgb: [dark.clone(), lit, dark].concat(),
        caption: format!(
            "A bright rod {:.0} mm wide before black, waved at {SPEED_M_PER_S} m/s for {SECONDS} s past an eye that holds \
             still: {:.0} mm across. Even light leaves one smear; light that flickers leaves many rods. The brightest \
             place is shown at full.{}",
            1e3 * ROD_M,
            1e3 * (SPEED_M_PER_S * SECONDS + ROD_M),
            stripe.clipping()
        ),
    }
}
