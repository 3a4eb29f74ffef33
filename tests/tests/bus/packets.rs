//! Packets that are whole, short, lost or none.

use milliglow::bus::Colour;
use milliglow::bus::dmx512::{Configuration, Counts, OnLoss, Refusal, Role, Row, Slots, Width};
use milliglow::{Error, Level, Share};

pub(crate) const LEVEL: Configuration<1> = Configuration {
    rows: [Row {
        slot: 1,
        width: Width::CoarseFine,
        role: Role::Level,
    }],
    start: [0],
    control_hz: 1_000,
    creep_ms: 750,
    loss_ms: 1_250,
    on_loss: OnLoss::Hold,
};

pub(crate) fn slots<const N: usize>(configuration: &Configuration<N>) -> Slots<N> {
    Slots::new(configuration).expect("a good configuration")
}

pub(crate) fn run<const N: usize>(slots: &mut Slots<N>, steps: u32) {
    (0..steps).for_each(|_| slots.control_step());
}

/// Refused with a reason; nothing changes but the count of it.
#[test]
fn refusals() {
    let mut slots = slots(&LEVEL);
    slots.packet(&[0, 9, 9], 100_000).expect("a good packet");
    run(&mut slots, 10);
    let before = format!("{slots:?}");
    let long = vec![0; 514];
    let bad: [(&[u8], u32, Refusal); 5] = [
        (&[], 200_000, Refusal::Empty),
        (&long, 200_000, Refusal::TooLong),
        (&[0, 1, 1], 101_195, Refusal::TooSoon),
        (&[0xCC, 1, 1], 200_000, Refusal::StartCode(0xCC)),
        (&[0x17], 200_000, Refusal::StartCode(0x17)),
    ];
    for (packet, at_us, reason) in bad {
        assert_eq!(slots.packet(packet, at_us), Err(reason));
    }
    let counts = Counts {
        taken: 1,
        short: 0,
        foreign: 2,
        refused: 3,
        losses: 0,
    };
    assert_eq!(slots.counts(), counts);
    let counted = "foreign: 2, refused: 3";
    assert_eq!(
        format!("{slots:?}").replace(counted, "foreign: 0, refused: 0"),
        before
    );
    slots
        .packet(&[0; 513], 101_196)
        .expect("512 slots, just in time");
}

/// A packet that ends early leaves what it lacks, half of a value of 16 bits too.
#[test]
fn short_packets() {
    let mut slots = slots(&LEVEL);
    slots.packet(&[0, 0x12, 0x34], 0).expect("a good packet");
    for (index, packet) in [&[0][..], &[0, 0x77]].into_iter().enumerate() {
        slots
            .packet(packet, 30_000 * (index as u32 + 1))
            .expect("a good packet");
        run(&mut slots, 100);
        assert_eq!(slots.values(), [0x1234]);
    }
    assert_eq!(slots.counts().short, 2);
}

/// Packets that are lost do not stretch the time between them, and what a slot crept meanwhile is still a creep; the same
/// without a loss is a move.
#[test]
fn lost_packets() {
    let mut configuration = LEVEL;
    configuration.rows[0].width = Width::Coarse;
    let mut steady = slots(&configuration);
    for index in 0..50 {
        steady
            .packet(&[0, 100], index * 22_000)
            .expect("a good packet");
        run(&mut steady, 22);
    }
    for (lost, moved, creeps) in [
        (0, 1, true),
        (0, 2, false),
        (1, 2, true),
        (1, 3, false),
        (2, 3, true),
        (9, 5, false),
    ] {
        let mut slots = steady.clone();
        run(&mut slots, 22 * lost);
        slots
            .packet(&[0, 100 + moved], (50 + lost) * 22_000)
            .expect("a good packet");
        assert_eq!(slots.interval_us(), 22_000);
        run(&mut slots, 22);
        let arrived = slots.values()[0] == u16::from(100 + moved) * 257;
        assert_eq!(arrived, !creeps, "{lost} lost, moved by {moved}");
    }
}

/// A console that becomes faster is measured at once, and one that becomes slower with its fifth packet.
#[test]
fn rates_that_change() {
    for (before_us, after_us, at_once) in [
        (22_000, 2_000, true),
        (22_000, 40_000, false),
        (2_000, 900_000, false),
    ] {
        let mut slots = slots(&LEVEL);
        let mut now_us = 0;
        let mut packet = |slots: &mut Slots<1>, after_us: u32| {
            now_us += after_us;
            slots.packet(&[0, 1, 1], now_us).expect("a good packet");
            slots.interval_us()
        };
        for _ in 0..5 {
            packet(&mut slots, before_us);
        }
        let measured = [(); 6].map(|()| packet(&mut slots, after_us));
        let until = if at_once { after_us } else { before_us };
        assert_eq!(measured[..4], [until; 4]);
        assert_eq!(measured[4..], [after_us; 2]);
    }
}

/// A time base that goes back, by little or much, is no fault of the packet: it is taken, and the measured time stays.
#[test]
fn time_stamps_that_go_back() {
    for back_us in [
        1,
        5_000,
        11_000,
        22_000,
        1 << 30,
        1 << 31,
        u32::MAX - 2_000_000,
    ] {
        let mut slots = slots(&LEVEL);
        for index in 0..3 {
            slots
                .packet(&[0, 0x40, 0], 100_000 + index * 22_000)
                .expect("a good packet");
            run(&mut slots, 22);
        }
        let back = 144_000u32.wrapping_sub(back_us);
        slots.packet(&[0, 0x80, 0], back).expect("a good packet");
        assert_eq!(slots.interval_us(), 22_000, "{back_us}");
        run(&mut slots, 22);
        assert_eq!(slots.values(), [0x8000]);
        slots
            .packet(&[0, 0x20, 0], back.wrapping_add(22_000))
            .expect("a good packet");
        run(&mut slots, 22);
        assert_eq!(slots.values(), [0x2000], "{back_us}");
    }
}

/// A slot of 8 bits that creeps at 0.2 a packet and then goes by `pace` a packet, on packets 22 ms apart whose time stamps are off by `off_us`.
fn creep_on(pace: f64, off_us: impl Fn(u32) -> u32) -> Vec<u16> {
    let mut configuration = LEVEL;
    configuration.rows[0].width = Width::Coarse;
    let mut slots = slots(&configuration);
    let mut position = 50.0;
    (0..300)
        .map(|index| {
            position += match index {
                0..100 => 0.0,
                100..200 => 0.2,
                _ => pace,
            };
            let stamp_us = (index * 22_000_u32).wrapping_add(off_us(index));
            let value = f64::min(position, 255.0) as u8;
            slots.packet(&[0, value], stamp_us).expect("a good packet");
            run(&mut slots, 22);
            slots.values()[0]
        })
        .collect()
}

/// Packets that stay away in a creep: it comes to rest where the last one said, exactly, and no farther off meanwhile than half a step of 8
/// bits, or three and a quarter packets' way of 16.
#[test]
fn a_creep_that_is_left_alone_comes_to_rest() {
    for (width, most) in [(Width::Coarse, 128), (Width::CoarseFine, 325)] {
        let mut configuration = LEVEL;
        configuration.rows[0].width = width;
        let mut slots = slots(&configuration);
        let mut told = 0x4000;
        for index in 0..120 {
            told += if width == Width::Coarse && index % 5 == 0 {
                257
            } else if width == Width::CoarseFine {
                100
            } else {
                0
            };
            let [coarse, fine] = u16::to_be_bytes(told);
            slots
                .packet(&[0, coarse, fine], index * 22_000)
                .expect("a good packet");
            run(&mut slots, 22);
        }
        let told = match width {
            Width::Coarse => u16::from_be_bytes([told.to_be_bytes()[0]; 2]),
            Width::CoarseFine => told,
        };
        let mut highest = 0;
        for _ in 0..1_600 {
            slots.control_step();
            highest = highest.max(slots.values()[0]);
        }
        assert_eq!(slots.values(), [told]);
        assert!(highest <= told + most + 1, "{highest} {told}");
    }
}

/// Time stamps that jump in a creep bend nothing: it stays where it is delayed to, to half a step.
#[test]
fn a_creep_goes_on_when_the_time_base_jumps() {
    let steady = creep_on(0.2, |_| 0);
    for jump_us in [11_000, 300_000, 1 << 30, 1 << 31, u32::MAX - 2_000_000] {
        let jumped = creep_on(0.2, |index| if index >= 160 { jump_us } else { 0 });
        for (index, (steady, jumped)) in steady.iter().zip(&jumped).enumerate() {
            let off = steady.abs_diff(*jumped);
            assert!(off <= 128, "{jump_us}: {off} at packet {index}");
        }
    }
}

/// A creep is late by 31 packets; when it becomes a run of two steps a packet the delay shrinks by a packet in each, without a jump.
#[test]
fn a_run_catches_up() {
    let levels = creep_on(1.9, |_| 0);
    let asked = |index: u32| match index {
        0..200 => 50.0 + 0.2 * f64::from(index - 99),
        _ => f64::min(70.0 + 1.9 * f64::from(index - 199), 255.0),
    };
    let late = |index: u32| asked(index) - f64::from(levels[index as usize]) / 257.0;
    assert!((late(199) - 31.0 * 0.2).abs() < 1.0, "{}", late(199));
    // 40 packets on it follows by a packet and what a step rounds.
    assert!((-0.5..3.5).contains(&late(245)), "{}", late(245));
    let steps = levels.windows(2).map(|pair| pair[1].abs_diff(pair[0]));
    assert!(steps.max() <= Some(6 * 257));
}

/// On a straight line between packets, one packet late, whatever the time between them.
#[test]
fn straight_between_packets() {
    for interval_us in [2_000, 22_676, 40_000, 1_000_000] {
        let mut slots = slots(&LEVEL);
        let steps = interval_us / 1_000;
        slots.packet(&[0, 0, 0], 0).expect("a good packet");
        run(&mut slots, steps);
        slots
            .packet(&[0, 0, 0], interval_us)
            .expect("a good packet");
        run(&mut slots, steps);
        slots
            .packet(&[0, 0x80, 0], 2 * interval_us)
            .expect("a good packet");
        for step in 1..=steps {
            slots.control_step();
            // Full is 65 535, so that half a value more than half of it lies between two.
            let exact = f64::from(step) / f64::from(steps) * 32_768.0;
            let off = f64::from(slots.values()[0]) - exact;
            assert!(
                (-1.01..=0.51).contains(&off),
                "{interval_us}: step {step}, {off}"
            );
        }
    }
}

/// After so long, once: held, or a fade to a scene that arrives on its control step; data that come back are taken.
#[test]
fn loss() {
    let scene = Configuration {
        on_loss: OnLoss::Fade {
            values: [1_000],
            tenths: 20,
        },
        ..LEVEL
    };
    for (configuration, end) in [(LEVEL, 0x4000), (scene, 1_000)] {
        let mut slots = slots(&configuration);
        run(&mut slots, 5_000);
        assert!(!slots.is_lost(), "nothing came, so nothing is lost");
        slots.packet(&[0, 0x40, 0], 0).expect("a good packet");
        run(&mut slots, 1_249);
        assert!(!slots.is_lost());
        run(&mut slots, 1);
        assert!(slots.is_lost());
        assert_eq!(slots.values(), [0x4000]);
        run(&mut slots, 1_999);
        assert_eq!(slots.values()[0] == end, end == 0x4000);
        run(&mut slots, 1);
        assert_eq!((slots.values(), slots.counts().losses), ([end], 1));
        // Too soon by a time stamp that has wrapped, perhaps; after a silence that is no reason.
        slots.packet(&[0, 0x20, 0], 3).expect("a good packet");
        run(&mut slots, 1_000);
        assert_eq!((slots.values(), slots.is_lost()), ([0x2000], false));
    }
}

/// Level, channels and colour wherever the table says.
#[test]
fn layouts() {
    let row = |slot, width, role| Row { slot, width, role };
    let configuration = Configuration {
        rows: [
            row(511, Width::CoarseFine, Role::Level),
            row(3, Width::Coarse, Role::Channel(1)),
            row(7, Width::CoarseFine, Role::Channel(0)),
            row(
                20,
                Width::Coarse,
                Role::Mirek {
                    coolest: 153,
                    warmest: 370,
                },
            ),
        ],
        start: [65_535, 0, 0, 0],
        control_hz: 1_000,
        creep_ms: 20,
        loss_ms: 1_000,
        on_loss: OnLoss::Hold,
    };
    let mut slots = slots(&configuration);
    assert_eq!(slots.level(), Level::FULL, "before the first packet");
    let mut packet = [0; 513];
    (
        packet[511],
        packet[512],
        packet[3],
        packet[7],
        packet[8],
        packet[20],
    ) = (1, 2, 255, 0x80, 0x00, 255);
    slots.packet(&packet, 0).expect("a good packet");
    slots.control_step();
    assert_eq!(slots.level(), Level::from_bits(0x0102));
    let shares = [0x8000_8000, u32::MAX, 0].map(Share::from_bits);
    assert_eq!(slots.recipe::<3>().shares(), &shares);
    assert_eq!(slots.colour(), Some(Colour::Mirek(370)));
    let mut xy = configuration;
    xy.rows[0].role = Role::X;
    xy.rows[2].role = Role::Y;
    let mut xy = Slots::new(&xy).expect("a good configuration");
    xy.packet(&packet, 0).expect("a good packet");
    xy.control_step();
    assert_eq!(
        xy.colour(),
        Some(Colour::Chromaticity {
            x: 0x0102,
            y: 0x8000
        })
    );
    assert_eq!(xy.level(), Level::FULL, "no row for it");
}

#[test]
fn refused_configurations() {
    for (slot, width, good) in [
        (0, Width::Coarse, false),
        (1, Width::Coarse, true),
        (512, Width::Coarse, true),
        (513, Width::Coarse, false),
        (511, Width::CoarseFine, true),
        (512, Width::CoarseFine, false),
        (u16::MAX, Width::CoarseFine, false),
    ] {
        let rows = [Row {
            slot,
            width,
            role: Role::Level,
        }];
        let expected = if good { None } else { Some(Error::Slot) };
        assert_eq!(Slots::new(&Configuration { rows, ..LEVEL }).err(), expected);
    }
    let role = Role::Mirek {
        coolest: 300,
        warmest: 200,
    };
    let rows = [Row {
        slot: 1,
        width: Width::Coarse,
        role,
    }];
    assert_eq!(
        Slots::new(&Configuration { rows, ..LEVEL }).err(),
        Some(Error::Slot)
    );
    for hz in [0, 99, 10_001] {
        let bad = Configuration {
            control_hz: hz,
            ..LEVEL
        };
        assert_eq!(Slots::new(&bad).err(), Some(Error::ControlRate));
    }
    for loss_ms in [0, 999] {
        let bad = Configuration { loss_ms, ..LEVEL };
        assert_eq!(Slots::new(&bad).err(), Some(Error::LossTime));
    }
    for creep_ms in [0, 19, 2_001] {
        let bad = Configuration { creep_ms, ..LEVEL };
        assert_eq!(Slots::new(&bad).err(), Some(Error::CreepTime));
    }
}
