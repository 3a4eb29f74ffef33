//! Time of a function that is called over and over.

use std::time::{Duration, Instant};

/// How long a function is tried.
const TRIED: Duration = Duration::from_millis(400);
/// Times that it is tried at the least.
const TURNS: u32 = 5;

/// The shortest of several runs, in seconds: what else runs on the machine only ever makes it longer.
pub(super) fn shortest(mut run: impl FnMut()) -> f64 {
    run();
    let (begin, mut turns, mut shortest) = (Instant::now(), 0, f64::INFINITY);
    while turns < TURNS || begin.elapsed() < TRIED {
        let start = Instant::now();
        run();
        shortest = shortest.min(start.elapsed().as_secs_f64());
        turns += 1;
    }
    shortest
}

/// Seconds of one run.
pub(super) fn once<T>(run: impl FnOnce() -> std::io::Result<T>) -> std::io::Result<f64> {
    let begin = Instant::now();
    run()?;
    Ok(begin.elapsed().as_secs_f64())
}
