//! The streams of a luminaire's script as `check` runs them, as one hash a channel.

use milliglow_sim::description::Description;
use milliglow_sim::run::{Course, control_steps, run};

/// FNV-1a over no words.
pub const OF_NOTHING: u32 = 2_166_136_261;

/// FNV-1a over one word more.
#[must_use]
pub fn hashed(hash: u32, word: u32) -> u32 {
    (hash ^ word).wrapping_mul(16_777_619)
}

/// FNV-1a over the words of each channel in the first control steps of the script, which has as many.
#[must_use]
pub fn hashes(description: &Description, steps: u64) -> Vec<u32> {
    let mut begin = description.clone();
    let mut before = 0;
    begin.script.retain(|fade| {
        let is_needed = before < steps;
        before += u64::from(control_steps(description, fade));
        is_needed
    });
    assert!(before >= steps, "the script has {before} control steps");
    let mut hashes = vec![OF_NOTHING; begin.channels.len()];
    run(&begin, &Course::of_script(&begin), |step| {
        if step.overall <= steps {
            for (hash, words) in hashes.iter_mut().zip(step.words) {
                *hash = words.iter().copied().fold(*hash, hashed);
            }
        }
    });
    hashes
}
