//! Frames that queue, more than there is room for now and then.

use milliglow::bus::FrameQueue;

use crate::Hash;
use crate::random::Random;

pub(super) fn script() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(19));
    let queue = FrameQueue::<8>::default();
    for at in 0..4_000 {
        if random.next() % 2 == 0 {
            hash.word(queue.push(random.next() as u16, at).into());
        } else if let Some((frame, at)) = if random.next() % 2 == 0 {
            queue.pop()
        } else {
            queue.pop_due(at, random.next() % 8)
        } {
            hash.words([frame.into(), at]);
        }
        hash.word(queue.overflows());
    }
    hash.value()
}
