//! A console's log over and over, with faults in its packets.

use rand::RngExt;
use rand_pcg::Pcg32;

use super::FaultKind;
use super::traffic::{Timed, Traffic};
use crate::description::Bus;

/// How often a packet is hit.
const HIT: f64 = 0.05;
const LATEST_US: u64 = 5_000;
/// After a packet that comes too soon.
const SOON_US: u64 = 1_000;
/// Longest that packets stay away, in s.
const SILENCE_S: f64 = 3.0;

/// So many rounds of the log, all but the last with faults.
pub(super) fn packets(bus: &Bus, kind: FaultKind, rounds: u32, random: &mut Pcg32) -> Traffic {
    let mut traffic = Traffic {
        frames: Vec::new(),
        injected: 0,
    };
    let round_us = (bus.seconds * 1e6) as u64;
    for round in 0..rounds {
        let mut silent_to = 0;
        for (number, frame) in bus.frames.iter().enumerate() {
            let at_us = u64::from(round) * round_us + frame.at_us;
            let whole = Timed {
                at_us,
                handed_us: at_us,
                bytes: frame.bytes.clone(),
            };
            let is_faulty = round + 1 < rounds;
            if kind == FaultKind::Silence && is_faulty && number == bus.frames.len() / 2 {
                let silence_s = random.random_range(SILENCE_S / 2.0..SILENCE_S);
                silent_to = at_us + (silence_s * 1e6) as u64;
                traffic.injected += 1;
            }
            if at_us < silent_to {
                continue;
            }
            if is_faulty && kind.is_of_packets() && random.random_bool(HIT) {
                traffic.hit_packet(whole, kind, random);
            } else {
                traffic.frames.push(whole);
            }
        }
    }
    traffic.frames.sort_by_key(|timed| timed.handed_us);
    traffic
}

impl Traffic {
    fn hit_packet(&mut self, mut whole: Timed, kind: FaultKind, random: &mut Pcg32) {
        self.injected += 1;
        match kind {
            FaultKind::LatePackets => {
                let late_us = random.random_range(1..=LATEST_US);
                whole.at_us += late_us;
                whole.handed_us += late_us;
            }
            FaultKind::LostPackets => return,
            FaultKind::ShortPackets => {
                let kept = random.random_range(1..whole.bytes.len().max(2));
                whole.bytes.truncate(kept);
            }
            FaultKind::LongPackets => {
                whole.bytes.resize(random.random_range(514..600), 0xFF);
            }
            FaultKind::Foreign => whole.bytes[0] = random.random_range(1..=255),
            FaultKind::FlippedSlots => {
                let bit = random.random_range(8..8 * whole.bytes.len().max(2));
                if let Some(byte) = whole.bytes.get_mut(bit / 8) {
                    *byte ^= 1 << (bit % 8);
                }
            }
            FaultKind::EarlyPackets => {
                let mut early = whole.clone();
                early.at_us += SOON_US;
                early.handed_us += SOON_US;
                early.bytes[1..].fill(0xFF);
                self.frames.push(early);
            }
            _ => self.injected -= 1,
        }
        self.frames.push(whole);
    }
}
