//! Fades, short and long, retargeted in flight, paused and resumed.

use milliglow::fade::{Fade, Pace};

use crate::random::Random;
use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    report("fades", fades(6, 0));
    report("long fades", fades(7, 65_000));
}

fn fades(start: u32, shortest: u32) -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(start));
    let mut fade = Fade::at([0, 1, 70_000, u32::MAX]);
    for _ in 0..400 {
        let targets = [random.next(), random.any_length(), u32::MAX, 0];
        let pace = Pace::new(shortest.saturating_add(random.any_length()));
        fade.start(&targets, pace);
        hash.word(pace.steps());
        for k in 0..random.next() % 100 {
            turn(&mut fade, k);
            hash.words(
                fade.iter()
                    .zip(fade.values())
                    .map(|(each, all)| each ^ !all),
            );
            hash.words([fade.remaining(), fade.is_paused().into()]);
        }
    }
    hash.value()
}

fn turn(fade: &mut Fade<4>, k: u32) {
    match k % 40 {
        30 => fade.pause(),
        35 => fade.resume(),
        _ => fade.step(),
    }
}
