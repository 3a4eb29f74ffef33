//! What streams are like tick by tick: shortest pulse and the most current at once.

use milliglow::Level;

use crate::description::Description;
use crate::run::{Driven, steady, stream};

/// Words looked at: a tenth of a second at 2.5 MHz, several periods of a timer.
const WORDS: usize = 1 << 13;

/// Shortest run of ones of any channel in ticks, none where there is no whole one; most current at once, in full currents
/// of a channel, as the stream asks for it.
pub(super) fn survey(description: &Description, recipe: usize, level: Level) -> (Option<u32>, f64) {
    let mut luminaire = steady(description, recipe, level);
    let stands = luminaire.stands();
    let driven = Driven::all(description);
    let channels = driven.iter().zip(&stands);
    let currents: Vec<_> = channels
        .map(|(driven, stand)| driven.rows[stand.row].full)
        .collect();
    let mut runs = vec![Run::default(); currents.len()];
    let mut most = 0.0_f64;
    stream(&mut luminaire, currents.len(), WORDS, |slices| {
        for (run, slice) in runs.iter_mut().zip(slices) {
            slice.iter().for_each(|&word| run.see(word));
        }
        for index in 0..slices[0].len() {
            most = most.max(at_once(slices, index, &currents));
        }
    });
    let shortest = runs.iter().filter_map(|run| run.shortest).min();
    (shortest, most)
}

fn at_once(slices: &[&[u32]], index: usize, currents: &[f64]) -> f64 {
    if slices.iter().all(|slice| slice[index] == 0) {
        return 0.0;
    }
    let tick = |k: u32| {
        let channels = slices.iter().zip(currents);
        channels
            .map(|(slice, current)| current * f64::from(slice[index] >> k & 1))
            .sum::<f64>()
    };
    (0..32).map(tick).fold(0.0, f64::max)
}

/// Runs of ones, whole ones only.
#[derive(Clone, Copy, Default)]
struct Run {
    /// Ones of the run that goes on; none where its begin was not seen.
    now: Option<u32>,
    shortest: Option<u32>,
}

impl Run {
    fn see(&mut self, word: u32) {
        match (word, self.now) {
            (0, None) => self.now = Some(0),
            (0, Some(0)) | (u32::MAX, None) => {}
            (u32::MAX, Some(now)) => self.now = Some(now + 32),
            _ => (0..32).rev().for_each(|k| self.tick(word >> k & 1 == 1)),
        }
    }

    fn tick(&mut self, on: bool) {
        match (on, self.now) {
            (true, now) => self.now = now.map(|now| now + 1),
            (false, Some(now)) if now > 0 => {
                self.shortest = Some(self.shortest.map_or(now, |shortest| shortest.min(now)));
                self.now = Some(0);
            }
            (false, _) => self.now = Some(0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Run;

    #[test]
    fn only_whole_runs_count() {
        let mut run = Run::default();
        run.see(0xC000_0000); // its begin may lie before
        assert_eq!(run.shortest, None);
        run.see(0x00F0_0007);
        assert_eq!(run.shortest, Some(4));
        run.see(0xFFFF_FFFF);
        run.see(0x8000_0000);
        assert_eq!(run.shortest, Some(4));
        run.see(0x0001_8000);
        assert_eq!(run.shortest, Some(2));
    }
}
