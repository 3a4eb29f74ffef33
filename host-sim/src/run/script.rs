//! Runs the script of fades, control step by control step, and shows every one to whoever watches.

use milliglow::density::Density;
use milliglow::fade::Pace;
use milliglow::{Level, Share};

use super::asked::{core_shares, level};
use super::stepped::{Stepped, luminaire};
use crate::description::{Description, Fade};

/// One control step of the script, after its streams were drawn.
#[derive(Clone, Debug)]
pub struct Step<'a> {
    /// Index of the fade in the script.
    pub fade: usize,
    /// Number of the control step within the fade, from 1.
    pub number: u32,
    /// Control steps of the fade.
    pub of: u32,
    /// Number of the control step within the script, from 1.
    pub overall: u64,
    /// Level after the step.
    pub level: Level,
    /// Shares after the step.
    pub shares: &'a [Share],
    /// Densities after the step.
    pub densities: &'a [Density],
    /// Ones of each channel until the next step.
    pub ones: &'a [u32],
    /// Ticks until the next step.
    pub ticks: u32,
    /// The words of each channel until the next step.
    pub words: &'a [&'a [u32]],
}

/// Control steps that a fade takes; a jump takes one.
pub fn control_steps(description: &Description, fade: &Fade) -> u32 {
    ((fade.seconds * f64::from(description.control_hz)).round() as u32).max(1)
}

/// Runs the whole script from black.
pub fn run(description: &Description, mut watch: impl FnMut(&Step)) {
    let mut luminaire = luminaire(description);
    let mut streams = Streams::new(description);
    let mut overall = 0;
    for (index, fade) in description.script.iter().enumerate() {
        let of = control_steps(description, fade);
        let shares = core_shares(&description.recipes[fade.recipe].shares);
        let pace = if fade.seconds == 0.0 {
            Pace::AT_ONCE
        } else {
            Pace::new(of)
        };
        luminaire.fade_to(level(description, fade.level), &shares, pace);
        for number in 1..=of {
            luminaire.control_step();
            overall += 1;
            let ticks = streams.draw(&mut *luminaire, overall);
            let words = streams.words(ticks);
            watch(&Step {
                fade: index,
                number,
                of,
                overall,
                level: luminaire.level(),
                shares: &luminaire.shares(),
                densities: luminaire.densities(),
                ones: &streams.ones,
                ticks,
                words: &words,
            });
        }
    }
}

/// Draws whole words: a control step takes effect with the first word that begins at or after it.
struct Streams {
    tick_hz: u64,
    control_hz: u64,
    buffers: Vec<Vec<u32>>,
    ones: Vec<u32>,
}

impl Streams {
    fn new(description: &Description) -> Self {
        let channels = description.channels.len();
        let (tick_hz, control_hz) = (
            u64::from(description.tick_hz),
            u64::from(description.control_hz),
        );
        let most_words = (tick_hz / (32 * control_hz) + 1) as usize;
        Self {
            tick_hz,
            control_hz,
            buffers: vec![vec![0; most_words]; channels],
            ones: vec![0; channels],
        }
    }

    fn words_before(&self, step: u64) -> u64 {
        step * self.tick_hz / (32 * self.control_hz)
    }

    fn words(&self, ticks: u32) -> Vec<&[u32]> {
        self.buffers
            .iter()
            .map(|buffer| &buffer[..ticks as usize / 32])
            .collect()
    }

    fn draw(&mut self, luminaire: &mut dyn Stepped, overall: u64) -> u32 {
        let words = (self.words_before(overall) - self.words_before(overall - 1)) as usize;
        let mut slices: Vec<_> = self
            .buffers
            .iter_mut()
            .map(|buffer| &mut buffer[..words])
            .collect();
        luminaire.fill(&mut slices);
        for (ones, slice) in self.ones.iter_mut().zip(slices) {
            *ones = slice.iter().map(|word| word.count_ones()).sum();
        }
        words as u32 * 32
    }
}
