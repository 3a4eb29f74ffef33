//! Time stamps in time, late, early and far off.

use milliglow::bus::{ControlClock, Late};
use milliglow::constant;

use crate::Hash;
use crate::random::Random;

pub(super) fn script() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(15));
    let mut clocks = [
        constant!(ControlClock::new(1_000, Late::CatchUp { extra: 2 }, 50)),
        constant!(ControlClock::new(1_000, Late::Hold, 50)),
    ];
    let mut now = u32::MAX - 100_000;
    for _ in 0..4_000 {
        now = now.wrapping_add(match random.next() % 16 {
            0 => random.next() % 20_000,
            1 => random.next(),
            2 => 100,
            _ => 900 + random.next() % 200,
        });
        for clock in &mut clocks {
            let counts = clock.counts();
            hash.words([clock.steps(now), counts.late.into(), counts.dropped.into()]);
            hash.words([counts.early, counts.jumps].map(u32::from));
            hash.word(clock.missing());
        }
    }
    for (period, jump) in [(1, 1), (2, 0), (2, 1), (65_536, 65_535)] {
        hash.word(ControlClock::new(period, Late::Hold, jump).is_ok().into());
    }
    hash.value()
}
