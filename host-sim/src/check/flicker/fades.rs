//! Flicker of fades: the metrics of the light over that of an ideal, unquantised fade, since a wanted fade would itself score.

use std::collections::VecDeque;

use super::super::rules::Rules;
use super::fade_feed::{Block, Blocks};
use super::flashes;
use super::judge::{Figure, figures};
use super::light::fluxes;
use super::map;
use crate::description::Description;
use crate::metrics::flashes::FlashWatch;
use crate::metrics::flicker::pst_lm::{PstLm, RATES_HZ};
use crate::metrics::flicker::{Samples, ieee1789, spectrum::Spectra};
use crate::numbers::significant;
use crate::run::{Driven, LightSampler, MetricRow};
use crate::verdict::Verdict;

/// Light whose lines are looked at together.
const WINDOW_SECONDS: f64 = 3.0;

/// The light of the script, as it comes. What is kept does not grow with the script.
pub(in crate::check) struct FadeFlicker<'a> {
    description: &'a Description,
    sampler: LightSampler<1>,
    /// Ideal flux at the control steps that samples still lie between: end of the step in seconds, flux.
    ideal: VecDeque<(f64, f64)>,
    /// Jumps that samples still lie around, in seconds: no fade is asked for there.
    jumps: VecDeque<f64>,
    /// How near to a jump a sample is neither before nor after it.
    jump_reach_s: f64,
    /// The lowest light of the weakest recipe in lm, a hair less, so that a hold there counts.
    darkest: f64,
    /// The full light of the strongest recipe, in lm.
    brightest: f64,
    next_sample_s: f64,
    window: Vec<f64>,
    spectra: Spectra,
    meter: Option<PstLm>,
    /// The worst window of each figure so far, and when it began.
    worst: [Option<(f64, f64)>; 5],
    flashes: FlashWatch,
}

impl<'a> FadeFlicker<'a> {
    pub(in crate::check) fn new(description: &'a Description) -> Self {
        let sampler = LightSampler::new(
            &Driven::all(description),
            &fluxes(description),
            description.tick_hz,
            lowest_rate_hz(description.tick_tolerance)..=*RATES_HZ.end() as u32,
        );
        Self {
            description,
            darkest: 0.999 * extreme(description, f64::min) * description.requirements.lowest_light,
            brightest: extreme(description, f64::max),
            next_sample_s: sampler.first_sample_s(),
            meter: PstLm::new(sampler.sample_hz()),
            ideal: VecDeque::from([(0.0, 0.0)]),
            jumps: VecDeque::new(),
            jump_reach_s: sampler.first_sample_s()
                + 1.0 / f64::from(description.control_hz)
                + CONSTANTS * longest_decay_s(description),
            flashes: FlashWatch::new(sampler.sample_hz()),
            sampler,
            window: Vec::new(),
            spectra: Spectra::default(),
            worst: [None; 5],
        }
    }

    /// Looks at all blocks, and judges.
    pub(in crate::check) fn judge(mut self, blocks: Blocks) -> Vec<Verdict> {
        blocks.each(|block| self.see(block));
        self.verdicts()
    }

    fn see(&mut self, block: &Block) {
        self.ideal.extend(&block.ideal);
        self.jumps.extend(&block.jumps);
        let mut samples = Vec::new();
        if let Some((_, flux)) = block.ideal.last() {
            self.sampler.load(flux / self.brightest);
        }
        block.each_piece(|words, stands| {
            self.sampler
                .push(words, stands, |[flux]| samples.push(flux));
        });
        samples.into_iter().for_each(|flux| self.sample(flux));
    }

    fn sample(&mut self, flux: f64) {
        let time = self.next_sample_s;
        self.next_sample_s += 1.0 / self.sampler.sample_hz();
        self.flashes
            .see(self.description.full_output_cd_m2 * flux / self.brightest);
        match self.ideal_at(time).filter(|_| !self.is_jumping(time)) {
            Some(ideal) => self.compare(time, flux / ideal, ideal / self.brightest),
            None => self.window.clear(),
        }
    }

    /// Between two control steps the ideal goes straight; none where it is too dark to be answered for.
    fn ideal_at(&mut self, time: f64) -> Option<f64> {
        while self.ideal.len() > 2 && self.ideal[1].0 < time {
            self.ideal.pop_front();
        }
        let (from, to) = (self.ideal.front()?, self.ideal.get(1)?);
        let part = ((time - from.0) / (to.0 - from.0)).clamp(0.0, 1.0);
        let flux = from.1 + (to.1 - from.1) * part;
        (flux >= self.darkest).then_some(flux)
    }

    fn is_jumping(&mut self, time: f64) -> bool {
        while self
            .jumps
            .front()
            .is_some_and(|jump| jump + self.jump_reach_s < time)
        {
            self.jumps.pop_front();
        }
        self.jumps
            .front()
            .is_some_and(|jump| jump - self.jump_reach_s <= time)
    }

    fn compare(&mut self, time: f64, ratio: f64, light: f64) {
        if let Some(meter) = &mut self.meter {
            meter.feed(&[ratio]);
        }
        self.window.push(ratio);
        let rate_hz = self.sampler.sample_hz();
        if self.window.len() as f64 >= WINDOW_SECONDS * rate_hz {
            let values = &self.window;
            let lines = self.spectra.lines(Samples { rate_hz, values });
            let row = map::row(self.description, light, &lines.unwrap_or_default());
            self.keep_worst(&row, time - WINDOW_SECONDS);
            self.window.clear();
        }
    }

    fn keep_worst(&mut self, row: &MetricRow, begin_s: f64) {
        for (worst, figure) in self.worst.iter_mut().zip(map::FIGURES) {
            let value = figure(row);
            if worst.is_none_or(|(before, _)| value > before) {
                *worst = Some((value, begin_s));
            }
        }
    }

    fn verdicts(self) -> Vec<Verdict> {
        let rules = Rules::of(self.description);
        let windows = figures(&rules).into_iter().zip(self.worst);
        let windows = windows.map(|(figure, worst)| window_verdict(&figure, worst));
        let severity = self.meter.and_then(|meter| meter.severity());
        let pst_lm = match severity {
            Some(severity) => {
                let seconds = significant(severity.judged_seconds, 3);
                rules.pst_lm.judge(
                    "script",
                    severity.pst_lm,
                    format!("{seconds} s of light over the ideal fade's"),
                )
            }
            None => rules.pst_lm.not_judged(
                "script",
                "less than 40 s of light: the meter needs 20 s to settle and 20 s to read",
            ),
        };
        let flashes = flashes::judge(self.description, &rules.flashes, &self.flashes);
        windows.chain([pst_lm, flashes]).collect()
    }
}

/// Time constants after which the light of a jump has come.
const CONSTANTS: f64 = 7.0;

fn longest_decay_s(description: &Description) -> f64 {
    let channels = description.channels.iter();
    let constants = channels.map(|channel| channel.light_decay.longest_s());
    constants.fold(0.0, f64::max)
}

/// The pass band ends at a quarter: beyond every limit that is judged, whatever the tick rate's tolerance.
fn lowest_rate_hz(tolerance: f64) -> u32 {
    (4.0 * ieee1789::NO_EFFECT.last_hz() / (1.0 - tolerance)).ceil() as u32
}

fn window_verdict(figure: &Figure, worst: Option<(f64, f64)>) -> Verdict {
    match worst {
        Some((value, begin_s)) => figure.rule.judge(
            format!("script, {} s", significant(begin_s, 4)),
            value,
            "worst 3 s of light over the ideal fade's",
        ),
        None => figure.rule.not_judged(
            "script",
            "no 3 s of light at a stretch that is away from jumps and bends and bright enough to be answered for",
        ),
    }
}

/// The weakest or strongest recipe's full flux in lm.
fn extreme(description: &Description, of: fn(f64, f64) -> f64) -> f64 {
    let fluxes = || description.channels.iter().map(|channel| channel.flux_lm);
    let full = |shares: &[f64]| {
        fluxes()
            .zip(shares)
            .map(|(flux, share)| flux * share)
            .sum::<f64>()
    };
    let recipes = description
        .recipes
        .iter()
        .map(|recipe| full(&recipe.shares));
    // A bus can ask for a colour without light.
    let lit = recipes.filter(|full| *full > 0.0);
    lit.reduce(of).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::super::fade_feed::Block;
    use super::FadeFlicker;
    use crate::description::{BUILT_IN, parse};
    use crate::run::Stand;
    use milliglow::density::Density;

    /// Numbers that there is room for.
    fn room(flicker: &FadeFlicker) -> usize {
        flicker.ideal.capacity() + flicker.window.capacity() + flicker.spectra.room()
    }

    /// Light of noise, so that the windows have many lines, each another number.
    fn block(number: u32) -> Block {
        let noise = |channel: u32| {
            let words =
                (0..1_u32 << 14).map(|k| (k + (number << 14) + channel).wrapping_mul(0x9e37_79b9));
            words.map(|word| word ^ word >> 15).collect()
        };
        let seconds = f64::from(1 << 19) / 5e6;
        let ideal = (0..100).map(|k| (seconds * (f64::from(number) + f64::from(k) / 100.0), 500.0));
        let stand = Stand {
            density: Density::from_bits(1 << 31),
            row: 0,
            late_ticks: 0,
            charge: None,
        };
        Block {
            words: (0..5).map(noise).collect(),
            stands: vec![(1 << 14, vec![stand; 5])],
            ideal: ideal.collect(),
            jumps: Vec::new(),
        }
    }

    #[test]
    fn what_is_held_does_not_grow_with_the_script() {
        let cove = parse(BUILT_IN, "built in").unwrap();
        let mut flicker = FadeFlicker::new(&cove);
        (0..65).for_each(|number| flicker.see(&block(number)));
        assert!(flicker.worst[0].is_some(), "two windows");
        let held = room(&flicker);
        (65..200).for_each(|number| flicker.see(&block(number)));
        assert_eq!(room(&flicker), held);
        // Numbers of 8 bytes at the most: a window of 3 s at up to 20 kHz, and what its transform needs.
        assert!(held < 6_000_000, "{held}");
    }
}
