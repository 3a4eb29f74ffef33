//! The bus's log over and over, with faults in its frames.

use rand::RngExt;
use rand_pcg::Pcg32;

use super::FaultKind;
use crate::description::Bus;

/// How often a frame is hit.
const HIT: f64 = 0.3;
const LATEST_US: u64 = 300_000;
/// Frames that come at once where the queue is to run over.
const BURST: usize = 24;

/// A frame or a packet.
#[derive(Clone, Debug)]
pub(super) struct Timed {
    /// Its time stamp.
    pub(super) at_us: u64,
    /// When the firmware gets it.
    pub(super) handed_us: u64,
    /// None when the bus loses its power.
    pub(super) bytes: Vec<u8>,
}

impl Timed {
    fn frame(at_us: u64, frame: u16) -> Self {
        Self {
            at_us,
            handed_us: at_us,
            bytes: frame.to_be_bytes().to_vec(),
        }
    }
}

/// Frames in the order of time, and how many faults are among them.
pub(super) struct Traffic {
    pub(super) frames: Vec<Timed>,
    pub(super) injected: u64,
}

impl Traffic {
    /// So many rounds of the log, all but the last with faults.
    pub(super) fn new(bus: &Bus, kind: FaultKind, rounds: u32, random: &mut Pcg32) -> Self {
        let mut traffic = Self {
            frames: Vec::new(),
            injected: 0,
        };
        let round_us = (bus.seconds * 1e6) as u64;
        for round in 0..rounds {
            for frame in &bus.frames {
                let at_us = u64::from(round) * round_us + frame.at_us;
                let told = match frame.bytes[..] {
                    [first, second] => Some(u16::from_be_bytes([first, second])),
                    _ => None,
                };
                let is_hit = round + 1 < rounds && told.is_some() && random.random_bool(HIT);
                match told {
                    Some(frame) if is_hit => traffic.hit((at_us, frame), kind, random),
                    _ => traffic.frames.push(Timed {
                        at_us,
                        handed_us: at_us,
                        bytes: frame.bytes.clone(),
                    }),
                }
            }
        }
        traffic.frames.sort_by_key(|timed| timed.handed_us);
        traffic
    }

    fn hit(&mut self, (at_us, frame): (u64, u16), kind: FaultKind, random: &mut Pcg32) {
        self.injected += 1;
        let whole = Timed::frame(at_us, frame);
        match kind {
            FaultKind::Flipped => {
                let bit = random.random_range(0..16);
                self.frames.push(Timed::frame(at_us, frame ^ 1 << bit));
            }
            FaultKind::Lost => {}
            FaultKind::Doubled => {
                self.frames
                    .extend([whole, Timed::frame(at_us + 20_000, frame)]);
            }
            FaultKind::Late => {
                let late_us = random.random_range(1..=LATEST_US);
                self.frames.push(Timed::frame(at_us + late_us, frame));
            }
            FaultKind::Overflow => self.frames.extend(vec![whole; BURST]),
            _ => {
                self.injected -= 1;
                self.frames.push(whole);
            }
        }
    }
}
