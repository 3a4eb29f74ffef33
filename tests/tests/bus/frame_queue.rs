//! Frames that queue between an interrupt and the control loop.

use milliglow::bus::FrameQueue;
use milliglow_tests::cases::cases;
use proptest::prelude::*;
use std::collections::VecDeque;

#[test]
fn ram() {
    assert_eq!(size_of::<FrameQueue<16>>(), 8 * 16 + 12);
}

/// Two threads: what is not counted as an overflow arrives, whole and in order.
#[test]
fn from_one_thread_to_another() {
    static QUEUE: FrameQueue<8> = FrameQueue::new();
    const FRAMES: u32 = 200_000;
    let sender = std::thread::spawn(|| (0..FRAMES).filter(|&k| QUEUE.push(k as u16, k)).count());
    let (mut taken, mut last) = (0, None);
    loop {
        let ended = sender.is_finished();
        while let Some((frame, time)) = QUEUE.pop() {
            assert_eq!(frame, time as u16);
            assert!(last.is_none_or(|last| time > last));
            (taken, last) = (taken + 1, Some(time));
        }
        if ended {
            break;
        }
    }
    assert_eq!(taken, sender.join().unwrap());
    assert_eq!(taken as u32 + QUEUE.overflows(), FRAMES);
}

proptest! {
    #![proptest_config(cases())]

    /// Against a plain queue that is never longer than its room.
    #[test]
    fn first_in_first_out(pushes in prop::collection::vec(any::<Option<u16>>(), 0..200)) {
        let queue = FrameQueue::<4>::new();
        let (mut model, mut lost) = (VecDeque::new(), 0);
        for (at, push) in (0..).zip(pushes) {
            match push {
                Some(frame) if model.len() < 4 => {
                    prop_assert!(queue.push(frame, at));
                    model.push_back((frame, at));
                }
                Some(frame) => {
                    prop_assert!(!queue.push(frame, at));
                    lost += 1;
                }
                None => prop_assert_eq!(queue.pop(), model.pop_front()),
            }
            prop_assert_eq!(queue.overflows(), lost);
        }
    }
}
