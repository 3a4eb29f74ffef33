//! Runs the script of fades, control step by control step, and shows every one to whoever watches.

use milliglow::curve::Curve;
use milliglow::fade::Pace;
use milliglow::{Level, Share};

use super::course::{Course, Leg, Track};
use super::driven::{Driven, Stand};
use super::stepped::{Stepped, luminaire};
use super::supplied::Supplied;
use crate::description::{Description, Fade, core_curve};

/// One control step of the script, after its streams were drawn.
#[derive(Clone, Debug)]
pub struct Step<'a> {
    /// How often the script has ended before: above 0 for a script that loops.
    pub round: u32,
    /// Index of the fade in the script.
    pub fade: usize,
    /// Number of the control step within the fade, from 1.
    pub number: u32,
    /// Control steps of the fade.
    pub of: u32,
    /// Where the fade begins at once, where that is not where the light is.
    pub from: Option<Level>,
    /// Whether the fade takes no time, and this is its begin; in a track, whether no fade is asked for here.
    pub is_jump: bool,
    /// Whether the next control step belongs to another fade.
    pub is_last: bool,
    /// Number of the control step since the script began first, from 1.
    pub overall: u64,
    /// Level after the step.
    pub level: Level,
    /// Shares after the step.
    pub shares: &'a [Share],
    /// How each channel works after the step.
    pub stands: &'a [Stand],
    /// Mean light of each channel over its full, as its density and its edges give it.
    pub lights: &'a [f64],
    /// Light that each channel's driver gave until the next step, in ticks of its full.
    pub gave: &'a [f64],
    /// Ticks until the next step.
    pub ticks: u32,
    /// The words of each channel until the next step.
    pub words: &'a [&'a [u32]],
}

/// Control steps that a fade takes; a jump takes one.
pub fn control_steps(description: &Description, fade: &Fade) -> u32 {
    ((fade.seconds * f64::from(description.control_hz)).round() as u32).max(1)
}

/// The control step at which each leg of a fade of so many ends: equal parts of the time, rounded down.
pub fn leg_ends(steps: u32, legs: usize) -> Vec<u32> {
    let end = |leg: usize| (u64::from(steps) * leg as u64 / legs as u64) as u32;
    (1..=legs).map(end).collect()
}

/// A script that loops is run for so long, all its rounds together: PstLM settles for 20 s and reads 180 s.
const LOOPED_SECONDS: f64 = 200.0;

/// Rounds of the script that are run: one, or for a script that loops so many that they last 200 s, but at least two, so
/// that its end meets its begin.
pub fn rounds(description: &Description) -> u32 {
    if !description.script_loops || description.script.is_empty() {
        return 1;
    }
    let fades = description.script.iter();
    let steps: u64 = fades
        .map(|fade| u64::from(control_steps(description, fade)))
        .sum();
    let round_s = steps as f64 / f64::from(description.control_hz);
    ((LOOPED_SECONDS / round_s).ceil() as u32).max(2)
}

/// Runs a course, from black.
pub fn run(description: &Description, course: &Course, mut watch: impl FnMut(&Step)) {
    let mut runner = Runner {
        luminaire: luminaire(description),
        streams: Streams::new(description),
        curve: core_curve(description.curve),
        overall: 0,
    };
    match course {
        Course::Fades(legs) => legs
            .iter()
            .for_each(|leg| runner.leg(description, leg, &mut watch)),
        Course::Track(track) => runner.track(track, &mut watch),
    }
}

/// Which step of which fade.
struct Place {
    round: u32,
    fade: usize,
    number: u32,
    of: u32,
    from: Option<Level>,
    is_jump: bool,
    is_last: bool,
}

struct Runner {
    luminaire: Box<dyn Stepped>,
    streams: Streams,
    curve: Curve,
    overall: u64,
}

impl Runner {
    fn leg(&mut self, description: &Description, leg: &Leg, watch: &mut impl FnMut(&Step)) {
        let recipe = description.script[leg.fade].recipe;
        if let Some(from) = leg.from {
            self.luminaire.fade_to_recipe(from, recipe, Pace::AT_ONCE);
        }
        let level = leg.level(description);
        if description.script[leg.fade].through.is_empty() {
            self.luminaire.fade_to_recipe(level, recipe, leg.pace());
        } else {
            self.luminaire.fade_through(level, leg.fade);
        }
        for number in 1..=leg.steps {
            let place = Place {
                round: leg.round,
                fade: leg.fade,
                number,
                of: leg.of,
                from: leg.from,
                is_jump: leg.is_jump && number == 1,
                is_last: number == leg.steps,
            };
            self.step(&place, watch);
        }
    }

    fn track(&mut self, track: &Track, watch: &mut impl FnMut(&Step)) {
        let of = track.levels.len() as u32;
        let mut shares = track.shares.iter();
        let mut held = shares.next();
        for (number, (&level, &is_jump)) in (1..).zip(track.levels.iter().zip(&track.is_bent)) {
            while held.is_some_and(|(end, _)| (number as usize) > *end) {
                held = shares.next();
            }
            if let Some((_, shares)) = held {
                self.luminaire.fade_to(level, shares, Pace::AT_ONCE);
            }
            let place = Place {
                round: 0,
                fade: 0,
                number,
                of,
                from: None,
                is_jump,
                is_last: number == of,
            };
            self.step(&place, watch);
        }
    }

    fn step(&mut self, place: &Place, watch: &mut impl FnMut(&Step)) {
        let luminaire = &mut self.luminaire;
        luminaire.control_step();
        self.overall += 1;
        let stands = luminaire.stands();
        let load = self.curve.light(luminaire.level()).as_f64();
        let streams = &mut self.streams;
        let ticks = streams.draw(&mut **luminaire, self.overall, &stands, load);
        let words = streams.words(ticks);
        watch(&Step {
            round: place.round,
            fade: place.fade,
            number: place.number,
            of: place.of,
            from: place.from,
            is_jump: place.is_jump,
            is_last: place.is_last,
            overall: self.overall,
            level: luminaire.level(),
            shares: &luminaire.shares(),
            stands: &stands,
            lights: &streams.lights(&stands),
            gave: &streams.gave,
            ticks,
            words: &words,
        });
    }
}

/// Draws whole words: a control step takes effect with the first word that begins at or after it.
struct Streams {
    tick_hz: u64,
    control_hz: u64,
    buffers: Vec<Vec<u32>>,
    driven: Vec<Driven>,
    gated: Vec<Supplied>,
    booked: bool,
    gave: Vec<f64>,
}

impl Streams {
    fn new(description: &Description) -> Self {
        let channels = description.channels.len();
        let (tick_hz, control_hz) = (
            u64::from(description.tick_hz),
            u64::from(description.control_hz),
        );
        let driven = Driven::all(description);
        let most_words = (tick_hz / (32 * control_hz) + 1) as usize;
        Self {
            tick_hz,
            control_hz,
            buffers: vec![vec![0; most_words]; channels],
            gated: driven.iter().map(|driven| driven.supplied(0.0)).collect(),
            driven,
            booked: description.operating.edge_correction,
            gave: vec![0.0; channels],
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

    fn lights(&self, stands: &[Stand]) -> Vec<f64> {
        let channels = self.driven.iter().zip(stands);
        channels
            .map(|(driven, stand)| driven.light(stand, self.booked))
            .collect()
    }

    fn draw(
        &mut self,
        luminaire: &mut dyn Stepped,
        overall: u64,
        stands: &[Stand],
        load: f64,
    ) -> u32 {
        let words = (self.words_before(overall) - self.words_before(overall - 1)) as usize;
        let mut slices: Vec<_> = self
            .buffers
            .iter_mut()
            .map(|buffer| &mut buffer[..words])
            .collect();
        luminaire.fill(&mut slices);
        let channels = self.gave.iter_mut().zip(&mut self.gated);
        let rows = self.driven.iter().zip(stands);
        for (((gave, gated), (driven, stand)), slice) in channels.zip(rows).zip(slices) {
            gated.load(load);
            *gave = driven.rows[stand.row].full * gated.words(slice);
        }
        words as u32 * 32
    }
}
