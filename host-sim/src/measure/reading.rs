//! Reads a record once: what it is as a whole, and its segments.

use std::thread;

use super::flickermeters::Reading;
use super::gathered::Gathered;
use super::segments::{Cutter, Judged};
use super::stretch::{Open, for_lines};
use super::{Options, Survey};
use crate::capture::{Capture, Piece, Refusal};

/// Reads a record through, judging on the way.
pub(super) fn read(capture: &Capture, options: &Options) -> Result<(Survey, Judged), Refusal> {
    let factor = for_lines(capture.rate_hz()).factor();
    let rate_hz = capture.rate_hz() / factor as f64;
    thread::scope(|scope| {
        let mut cutter = Cutter::new(scope, rate_hz, options.luminance_cd_m2);
        let (survey, readings) = cut_all(capture, options, &mut cutter)?;
        let (segments, shown) = cutter.finished();
        let judged = Judged {
            rate_hz,
            band_hz: if factor > 1 {
                0.4 * rate_hz
            } else {
                capture.band_hz()
            },
            segments,
            readings,
            shown,
        };
        Ok((survey, judged))
    })
}

fn cut_all(
    capture: &Capture,
    options: &Options,
    cutter: &mut Cutter,
) -> Result<(Survey, Vec<Reading>), Refusal> {
    let mut gathered = Gathered::new(capture, options);
    let mut open = Open::new(0.0, capture.rate_hz());
    let mut readings = Vec::new();
    for piece in capture.pieces()? {
        match piece? {
            Piece::Light(mut values) => {
                values.iter().for_each(|&value| gathered.see(value));
                let dark_level = options.dark_level();
                values.iter_mut().for_each(|value| *value -= dark_level);
                open.take(&values, cutter);
            }
            Piece::Gap { seconds } => {
                let begin_s = gathered.gap(seconds);
                let ended = std::mem::replace(&mut open, Open::new(begin_s, capture.rate_hz()));
                readings.extend(ended.end(cutter));
            }
        }
        gathered.refuse_what_is_too_much(capture)?;
    }
    readings.extend(open.end(cutter));
    Ok((gathered.finished(capture, options)?, readings))
}
