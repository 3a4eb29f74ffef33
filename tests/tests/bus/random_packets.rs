//! For any packets: values stay between those that were sent, but for what a creep goes on when packets are lost, and no control step moves by more than a packet allows.

use milliglow::bus::dmx512::{Configuration, OnLoss, Role, Row, Slots, Width};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

const CONFIGURATION: Configuration<2> = Configuration {
    rows: [
        Row {
            slot: 1,
            width: Width::Coarse,
            role: Role::Level,
        },
        Row {
            slot: 2,
            width: Width::CoarseFine,
            role: Role::Channel(0),
        },
    ],
    start: [0x8080; 2],
    control_hz: 1_000,
    creep_ms: 750,
    loss_ms: 1_250,
    on_loss: OnLoss::Fade {
        values: [0x4000; 2],
        tenths: 10,
    },
};

/// Five 255ths.
const BEYOND: u16 = 5 * 257;

/// Slots that creep or jump, packets of any kind, and the time to the next: 10 to 60 ms, now and then much longer.
fn event() -> impl Strategy<Value = (u8, u8, u8, u32)> {
    let slot = || prop_oneof![3 => 127u8..=130, 1 => any::<u8>()];
    let code = prop_oneof![9 => Just(0u8), 1 => any::<u8>()];
    (
        slot(),
        slot(),
        code,
        prop_oneof![20 => 10u32..60, 1 => 60u32..4_000],
    )
}

/// The values that were sent, from the least to the most.
#[derive(Clone, Copy, Debug)]
struct Sent([u16; 2], [u16; 2]);

impl Sent {
    fn take(&mut self, values: [u16; 2]) {
        for (k, value) in values.into_iter().enumerate() {
            self.0[k] = self.0[k].min(value);
            self.1[k] = self.1[k].max(value);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..cases() })]

    #[test]
    fn any_packets(events in prop::collection::vec(event(), 1..300)) {
        let mut slots = Slots::new(&CONFIGURATION).expect("a good configuration");
        let mut sent = Sent([0x4000; 2], [0x8080; 2]);
        // A time base near its wrap, and one that jumps with every long wait.
        let mut now_ms = 4_294_900u32;
        let mut jumped_us = 0u32;
        let mut is_first = true;
        for (coarse, fine, code, wait_ms) in events {
            let stamp_us = now_ms.wrapping_mul(1_000).wrapping_add(jumped_us);
            let taken = slots.packet(&[code, coarse, fine, coarse], stamp_us).is_ok();
            prop_assert_eq!(taken, code == 0);
            if taken {
                sent.take([u16::from_be_bytes([coarse; 2]), u16::from_be_bytes([fine, coarse])]);
            }
            for _ in 0..wait_ms {
                let before = slots.values();
                slots.control_step();
                for (k, (value, before)) in slots.values().into_iter().zip(before).enumerate() {
                    prop_assert!((sent.0[k].saturating_sub(BEYOND)..=sent.1[k].saturating_add(BEYOND)).contains(&value), "{k} {value} {sent:?}");
                    // The shortest packet of all takes 10 control steps; only the first value is there at once.
                    let moved = value.abs_diff(before);
                    prop_assert!(is_first || slots.interval_us() == 0 || moved <= 65_535 / 10 + 1, "{moved}");
                }
            }
            is_first &= !taken;
            now_ms += wait_ms;
            if wait_ms > 500 {
                jumped_us = jumped_us.wrapping_add(wait_ms.wrapping_mul(0x9E37_79B9));
            }
        }
        // Left alone it comes to rest exactly, at the scene.
        (0..30_000).for_each(|_| slots.control_step());
        if slots.counts().taken != 0 {
            prop_assert_eq!(slots.values(), [0x4000; 2]);
        }
    }
}
