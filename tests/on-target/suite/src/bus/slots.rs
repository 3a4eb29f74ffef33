//! Packets that come, creep, jump, are short or foreign, and stay away.

use milliglow::bus::dmx512::{Configuration, OnLoss, Role, Row, Slots, Width};
use milliglow::{Error, Share};

use super::hash_colour;
use crate::Hash;
use crate::random::Random;

const fn row(slot: u16, width: Width, role: Role) -> Row {
    Row { slot, width, role }
}

const ROWS: [Row; 4] = [
    row(1, Width::CoarseFine, Role::Level),
    row(3, Width::Coarse, Role::Channel(0)),
    row(4, Width::Coarse, Role::Channel(1)),
    row(
        5,
        Width::CoarseFine,
        Role::Mirek {
            coolest: 153,
            warmest: 370,
        },
    ),
];

const XY: [Row; 2] = [
    row(2, Width::CoarseFine, Role::X),
    row(4, Width::CoarseFine, Role::Y),
];

const fn configuration<const N: usize>(rows: [Row; N], on_loss: OnLoss<N>) -> Configuration<N> {
    Configuration {
        rows,
        start: [30_000; N],
        control_hz: 200,
        creep_ms: 750,
        loss_ms: 1_000,
        on_loss,
    }
}

pub(super) fn script() -> u32 {
    let mut hash = Hash::new();
    let fading = OnLoss::Fade {
        values: [1_000; 4],
        tenths: 20,
    };
    for on_loss in [OnLoss::Hold, fading] {
        let refused = run(&configuration(ROWS, on_loss), &mut hash).is_err();
        hash.word(refused.into());
    }
    let _ = run(&configuration(XY, OnLoss::Hold), &mut hash);
    let nowhere = [row(0, Width::Coarse, Role::Level)];
    hash.word(
        Slots::new(&configuration(nowhere, OnLoss::Hold))
            .is_err()
            .into(),
    );
    hash.value()
}

fn run<const N: usize>(configuration: &Configuration<N>, hash: &mut Hash) -> Result<(), Error> {
    let mut slots = Slots::new(configuration)?;
    let (mut random, mut now) = (Random::new(17), u32::MAX - 1_000_000);
    let mut packet = [0_u8; 9];
    for turn in 0..2_000_u32 {
        now = now.wrapping_add(22_727 + random.next() % 2_000);
        let length = packet.len() - random.next() as usize % 3;
        change(&mut packet, &mut random);
        // Every fourth hundred of packets stays away.
        if turn / 100 % 4 != 3 {
            let sent = packet.get(..length).unwrap_or_default();
            hash.word(slots.packet(sent, now).is_ok().into());
        }
        for _ in 0..4 + turn % 2 {
            slots.control_step();
        }
        observe(&slots, hash);
    }
    Ok(())
}

fn change(packet: &mut [u8; 9], random: &mut Random) {
    packet[0] = if random.next().is_multiple_of(20) {
        0xDD
    } else {
        0
    };
    for slot in packet.iter_mut().skip(1) {
        *slot = match random.next() % 32 {
            0 => random.next() as u8,
            1..8 => slot.wrapping_add(1),
            _ => *slot,
        };
    }
}

fn observe<const N: usize>(slots: &Slots<N>, hash: &mut Hash) {
    let counts = slots.counts();
    hash.words([slots.interval_us(), slots.is_lost().into()]);
    hash.words(slots.values().map(u32::from));
    hash.word(slots.level().to_bits().into());
    hash.words(slots.recipe::<3>().shares().map(Share::to_bits));
    hash_colour(slots.colour(), hash);
    let counted = [
        counts.taken,
        counts.short,
        counts.foreign,
        counts.refused,
        counts.losses,
    ];
    hash.words(counted.map(u32::from));
}
