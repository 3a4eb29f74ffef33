//! What a bus adds to the verdicts: the time from a frame to its light, and how soon a jump has arrived.

use milliglow::Level;

use super::rules::{dead_time_rule, packet_response_rule};
use crate::description::Description;
use crate::numbers::significant;
use crate::run::{BusSeen, Course, FrameSeen, Step, Track};
use crate::verdict::Verdict;

/// FNV-1a.
const BASIS: u32 = 2_166_136_261;
const PRIME: u32 = 16_777_619;

/// A change of Level from packet to packet that is a jump: a twentieth of full. A fade of half a second moves by less.
const JUMP: u16 = 65_535 / 20;

/// Follows the light beside the bus.
pub(super) struct BusWatch {
    control_hz: f64,
    tick_s: f64,
    limit_s: f64,
    seen: BusSeen,
    /// The frame that set out last.
    next: usize,
    /// The frame whose first light is waited for.
    waiting: Option<usize>,
    ticks: u64,
    is_dark: bool,
    hash: u32,
    responses: Vec<(f64, f64)>,
}

impl BusWatch {
    pub(super) fn new(description: &Description, course: &Course, seen: BusSeen) -> Self {
        let control_hz = f64::from(description.control_hz);
        Self {
            control_hz,
            tick_s: 1.0 / f64::from(description.tick_hz),
            limit_s: description.bus.as_ref().map_or(0.0, |bus| bus.dead_time_s),
            responses: match course {
                Course::Track(track) => responses(track, &seen, control_hz),
                Course::Fades(_) => Vec::new(),
            },
            seen,
            next: 0,
            waiting: None,
            ticks: 0,
            is_dark: true,
            hash: BASIS,
        }
    }

    pub(super) fn see(&mut self, step: &Step) {
        let begin_s = self.ticks as f64 * self.tick_s;
        self.set_out(step.overall as u32 - 1, begin_s, step.level);
        let words = step.words.iter().flat_map(|words| words.iter());
        let mut lit_at = None;
        for channel in step.words {
            let first = channel.iter().position(|word| *word != 0);
            let tick = first.map(|k| 32 * k as u64 + u64::from(channel[k].leading_zeros()));
            lit_at = [lit_at, tick].into_iter().flatten().min();
        }
        for &word in words {
            self.hash = (self.hash ^ word).wrapping_mul(PRIME);
        }
        if let Some(tick) = lit_at
            && let Some(frame) = self.waiting.take()
        {
            let lit_s = (self.ticks + tick) as f64 * self.tick_s;
            let at_s = self.seen.frames[frame].at_s;
            self.seen.frames[frame].dead_time_s = Some(passed_s(at_s, lit_s));
        }
        self.is_dark = lit_at.is_none();
        self.ticks += u64::from(step.ticks);
    }

    /// Frames that set out with this control step: a light that is on has their first light with it.
    fn set_out(&mut self, step: u32, begin_s: f64, level: Level) {
        while let Some(frame) = self.seen.frames.get_mut(self.next) {
            if frame
                .carried_out
                .is_some_and(|carried_out| carried_out > step)
            {
                return;
            }
            if frame.carried_out == Some(step) {
                let asks_for_light = frame.level != Some(0);
                if self.is_dark && asks_for_light {
                    self.waiting = Some(self.next);
                } else if !self.is_dark || level != Level::OFF {
                    frame.dead_time_s = Some(passed_s(frame.at_s, begin_s));
                }
            }
            self.next += 1;
        }
    }

    /// The verdicts, and what was seen.
    pub(super) fn end(mut self) -> (Vec<Verdict>, BusSeen) {
        self.seen.stream_hash = self.hash;
        let verdicts = vec![self.dead_time(), self.response()];
        (verdicts.into_iter().flatten().collect(), self.seen)
    }

    fn dead_time(&self) -> Option<Verdict> {
        let rule = dead_time_rule(self.limit_s);
        Some(match self.seen.longest_dead_time() {
            Some(frame) => rule
                .judge(
                    format!("bus, {} s", significant(frame.at_s, 5)),
                    frame.dead_time_s.unwrap_or_default(),
                    format!(
                        "from frame {} to the first light that it brings",
                        frame.text
                    ),
                )
                .worst(),
            None => rule.not_judged("bus", "no frame moved the light"),
        })
    }

    /// A gear's fades have their own times.
    fn response(&self) -> Option<Verdict> {
        let interval_s = self.seen.interval_s?;
        let rule = packet_response_rule(2.0 * interval_s + 1.0 / self.control_hz);
        let slowest = self.responses.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        Some(match slowest {
            Some((at_s, seconds)) => rule
                .judge(
                    format!("bus, {} s", significant(*at_s, 5)),
                    *seconds,
                    "from a packet that jumps by a twentieth of full or more to the Level that it asks for",
                )
                .worst(),
            None => rule.not_judged("bus", "no packet jumps by a twentieth of full and stays"),
        })
    }
}

/// When a packet jumped and stayed, in s, and how long the Level took to be there.
fn responses(track: &Track, seen: &BusSeen, control_hz: f64) -> Vec<(f64, f64)> {
    let asked = |frame: &FrameSeen| Some((frame.level?, frame.at_s));
    let frames: Vec<_> = seen.frames.iter().filter_map(asked).collect();
    let jumps = frames.windows(2).enumerate();
    jumps
        .filter(|(_, pair)| pair[0].0.abs_diff(pair[1].0) > JUMP)
        .filter_map(|(k, pair)| {
            let (level, at_s) = pair[1];
            // Two packets more that ask for the same.
            let stays = frames.get(k + 2..k + 4)?.iter().all(|next| next.0 == level);
            let begin = (at_s * control_hz).ceil() as usize;
            let there = |place: &Level| place.to_bits().abs_diff(level) <= 1;
            let steps = track.levels.get(begin..)?.iter().position(there)?;
            stays.then(|| {
                let arrived_s = (begin + steps + 1) as f64 / control_hz;
                (at_s, arrived_s - at_s)
            })
        })
        .collect()
}

/// In whole ns: what is left of equal times is the rounding of floats.
fn passed_s(from_s: f64, to_s: f64) -> f64 {
    ((to_s - from_s).max(0.0) * 1e9).round() / 1e9
}
