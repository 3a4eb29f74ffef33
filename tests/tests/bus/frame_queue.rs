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

/// All that can be told of a frame's age and of how far behind a control step is, near the wrap too.
#[test]
fn what_is_due() {
    for now in [1_000_u32, 3, u32::MAX] {
        for behind in 0..12 {
            for age in -14..14_i32 {
                let queue = FrameQueue::<2>::new();
                queue.push(7, now.wrapping_sub(age.cast_unsigned()));
                let waits = behind > 0 && age.unsigned_abs() <= behind;
                let taken = queue.pop_due(now, behind);
                assert_eq!(taken.is_none(), waits, "{age} at {behind}");
                assert_eq!(queue.pop().is_some(), waits, "it is still there");
            }
        }
        // Of another time base: it does not wait.
        let queue = FrameQueue::<2>::new();
        queue.push(7, now.wrapping_add(1 << 31));
        assert!(queue.pop_due(now, 12).is_some());
    }
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
