//! How the light goes over from one line to the next.

use super::runs::Runs;
use super::straight::{ONE, Straight};

/// In how many half packets it goes over to a line that it does not meet.
const EASE: i32 = 32;

/// And how much of it in any packet, so that it comes there.
const LEAST: i32 = ONE / 1024;

/// How many packets ahead it meets a line at most.
const AHEAD: i32 = 32;

/// How far from a slot's value, in both directions, it should stay.
const FAR: i32 = ONE * 3 / 4;

/// Where the light is, and the line that it is on.
#[derive(Clone, Debug)]
pub(super) struct Way(Straight);

impl Way {
    pub(super) const fn on(line: Straight) -> Self {
        Self(line)
    }

    /// Whether it comes to the next line if it goes on, being `delay` half packets behind.
    const fn meets(&self, next: &Straight, delay: u8) -> bool {
        let off = next.ago(delay) - self.0.here;
        let bend = next.slope - self.0.slope;
        off.signum() * bend.signum() < 0 && off.abs() / AHEAD < bend.abs()
    }

    /// Whether the way to the next line and on it stays near the slot's values, up to those of a run.
    pub(super) fn leads_on(&self, next: &Straight, runs: &Runs, from: u8, delay: u8) -> bool {
        let now = Straight {
            here: self.0.here + self.0.slope * i32::from(delay) / 2,
            ..self.0
        };
        let meets = self.meets(next, delay);
        let rises = next.slope > now.slope;
        (from..runs.count()).all(|back| {
            let run = runs.ago(back);
            [run.last, run.first].into_iter().all(|ago| {
                let after = next.off(run.value, ago);
                let off = match (meets, rises) {
                    (false, _) => after,
                    (true, true) => after.max(now.off(run.value, ago)),
                    (true, false) => after.min(now.off(run.value, ago)),
                };
                ago > delay / 2 || off.abs() <= FAR
            })
        })
    }

    /// Goes on while its delay becomes `after` half packets from `before`, by the packets that came meanwhile.
    pub(super) fn go(&mut self, next: &Straight, runs: &Runs, before: u8, after: u8) {
        let halves = i32::from(before) - i32::from(after);
        if halves != 0 {
            let on = self.0.slope * halves / 2;
            let place = self.0.here + on + self.over(next, before, after, halves);
            self.0.here = within(self.0.here, place, runs);
        }
    }

    /// How far it goes over to the next line: not before they meet, and then at once by what that has bent since.
    fn over(&mut self, next: &Straight, before: u8, after: u8, halves: i32) -> i32 {
        let bend = (next.slope - self.0.slope) * halves / 2;
        let off = next.ago(after) - self.0.here - self.0.slope * halves / 2;
        let meets = self.meets(next, before);
        if meets && off.signum() * bend.signum() < 0 {
            return 0;
        }
        self.0.slope = next.slope;
        if meets {
            // `clamp` would panic if bounds were the wrong way round, as the compiler may think.
            return off.max(-bend.abs()).min(bend.abs());
        }
        let rest = off - bend;
        let least = rest.clamp(-LEAST, LEAST);
        bend + least + (rest - least) / EASE * halves.min(EASE)
    }

    /// Where it is, over the whole of 32 bits.
    pub(super) const fn place(&self) -> u32 {
        let here = self.0.here as u32;
        (here << 8) + here + (here >> 8) + (here >> 16)
    }
}

/// Between where it was and what rounds to one of the last values, and within a slot.
fn within(before: i32, place: i32, runs: &Runs) -> i32 {
    let values = (0..runs.count()).map(|back| i32::from(runs.ago(back).value) * ONE);
    let (least, most) = values.fold((before, before), |(least, most), value| {
        (least.min(value - ONE / 2), most.max(value + ONE / 2))
    });
    place.min(most).min(255 * ONE).max(least).max(0)
}
