//! The current of a channel about a pulse.

use crate::description::Description;
use crate::optics::drivers::Gated;
use crate::run::{HeldChannel, Zoom, runs_of_ones};

/// Ticks shown, in decisions of the channel; one of them before the pulse begins.
const DECISIONS: usize = 10;

/// Ticks of the stream that a driver runs before it is shown.
const RUN_UP: usize = 4_096;

/// About the second pulse of a stream, or what there is; none for a channel that has no pulse in its first words.
pub(super) fn of(description: &Description, channel: usize, held: &HeldChannel) -> Option<Zoom> {
    let ticks = 32 * held.first_words.len();
    let runs = runs_of_ones(&held.first_words);
    let pulse = runs.get(1).or(runs.first())?;
    let stretch = usize::from(held.stretch);
    let shown = DECISIONS * stretch;
    // An unbroken 1 has no edge but the first.
    let unbroken = runs.len() == 1 && pulse.end == ticks && held.ones * 2 > ticks as u64;
    let begin = if unbroken {
        RUN_UP.min(ticks)
    } else {
        pulse.start
    };
    let begin = begin
        .saturating_sub(stretch)
        .min(ticks.saturating_sub(shown));
    let shown = begin..begin + shown;
    let tick_s = 1.0 / f64::from(description.tick_hz);
    let driver = &description.channels[channel].driver;
    let gated = Gated::whatever_the_rise(driver, tick_s, held.stretch.into());
    let mut gated = gated.expect("a validated tick");
    let on = |tick: usize| held.first_words[tick / 32] << (tick % 32) >> 31 == 1;
    for tick in begin.saturating_sub(RUN_UP)..begin {
        gated.tick(on(tick));
    }
    let (mut current, mut corners) = (Vec::new(), Vec::new());
    for tick in shown.clone() {
        corners.clear();
        gated.trace(on(tick), &mut corners);
        let from_s = (tick - begin) as f64 * tick_s;
        let corners = corners.iter();
        current.extend(corners.map(|corner| (from_s + corner.after_s, corner.current)));
    }
    let seconds = |tick: usize| (tick - begin) as f64 * tick_s;
    let ones = runs
        .iter()
        .filter(|run| run.start < shown.end && run.end > shown.start);
    let ones = ones.map(|run| {
        (
            seconds(run.start.max(shown.start)),
            seconds(run.end.min(shown.end)),
        )
    });
    Some(Zoom {
        seconds: seconds(shown.end),
        ones: ones.collect(),
        current,
    })
}
