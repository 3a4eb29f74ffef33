//! One kind of fault: time goes by in control periods, and the firmware's timer, bus and buffers go wrong.

use milliglow::bus::ControlClock;
use milliglow::curve::ControlCurve;
use milliglow::flux_correction::{Configuration, Estimator};
use milliglow::{Level, Share};
use rand::SeedableRng;
use rand_pcg::Pcg32;

use super::ear::{Ear, SlotEar};
use super::firmware::{Firmware, MOST_CHANNELS};
use super::inject::warm_board;
use super::packets::packets;
use super::pipe::Pipe;
use super::traffic::{Timed, Traffic};
use super::watch::Watch;
use super::{FaultKind, FaultRow};
use crate::description::{Bus, BusKind, Description};
use crate::run::{configured, core_shares, receiver};
use crate::thermal::correction;

/// Where every draw starts.
const START: u64 = 62_386;
/// Units of the control clock's time in a control step.
pub(super) const PERIOD: u32 = 1_000;
pub(super) const JUMP_STEPS: u16 = 500;
/// What a degree takes of the flux where the file says nothing; of every second channel twice as much, so that it is not the same for all.
const FALL: f64 = 0.002;

pub(super) fn run(description: &Description, bus: &Bus, kind: FaultKind, rounds: u32) -> FaultRow {
    let description = &warming(description);
    let correction = correction(description);
    let mut random = Pcg32::seed_from_u64(START);
    let traffic = traffic(bus, kind, rounds, &mut random);
    let mut bench = Bench::new(description, bus, kind, &correction, random);
    bench.injected = traffic.injected;
    bench.run(&traffic.frames, &clean(bus, rounds), rounds);
    let there = bench.place();
    let random = Pcg32::seed_from_u64(START);
    let mut without = Bench::new(description, bus, kind, &correction, random);
    without.run(&clean(bus, 1), &[], 1);
    bench.row(without.place() == there, rounds)
}

fn traffic(bus: &Bus, kind: FaultKind, rounds: u32, random: &mut Pcg32) -> Traffic {
    match bus.kind {
        BusKind::Iec62386(_) => Traffic::new(bus, kind, rounds, random),
        BusKind::Dmx512(_) => packets(bus, kind, rounds, random),
    }
}

/// Rounds without a fault in their frames.
fn clean(bus: &Bus, rounds: u32) -> Vec<Timed> {
    let random = &mut Pcg32::seed_from_u64(START);
    traffic(bus, FaultKind::TimeJump, rounds, random).frames
}

/// As it comes out of the box, or as it was set up.
pub(super) fn ear<'a>(description: &Description, bus: &'a Bus) -> Ear<'a> {
    match &bus.kind {
        BusKind::Iec62386(set) => Ear::gear(configured(description, bus, set)),
        BusKind::Dmx512(set) => Ear::Slots(SlotEar::new(
            receiver(description, bus, set),
            set,
            description.control_hz,
        )),
    }
}

/// Flux that falls with temperature where the file says nothing of it.
fn warming(description: &Description) -> Description {
    let mut description = description.clone();
    for (channel, fall) in description
        .channels
        .iter_mut()
        .zip([FALL, 2.0 * FALL].into_iter().cycle())
    {
        if channel.flux_model.knots.is_empty() {
            channel.flux_model.knots = vec![(25.0, 1.0), (125.0, 1.0 - 100.0 * fall)];
        }
    }
    description
}

pub(super) struct Bench<'a> {
    pub(super) description: &'a Description,
    pub(super) bus: &'a Bus,
    pub(super) kind: FaultKind,
    pub(super) random: Pcg32,
    pub(super) firmware: Firmware<'a>,
    pub(super) twin: Option<Firmware<'a>>,
    pub(super) clock: ControlClock,
    pub(super) pipe: Option<Pipe>,
    pub(super) watch: Watch,
    /// What the time base is off.
    pub(super) offset: u32,
    /// Periods for which the timer does not come, or until the next fault.
    pub(super) held: u32,
    pub(super) next_fault: u32,
    pub(super) lost_periods: u32,
    pub(super) refused_images: u64,
    pub(super) injected: u64,
    /// How many jumps more the twin has made: what a late timer still has to do.
    pub(super) jumps_owed: i64,
}

impl<'a> Bench<'a> {
    fn new(
        description: &'a Description,
        bus: &'a Bus,
        kind: FaultKind,
        correction: &'a Configuration<MOST_CHANNELS>,
        random: Pcg32,
    ) -> Self {
        let estimator = || {
            let is_wanted = kind == FaultKind::Temperature;
            is_wanted.then(|| settled(description, correction))
        };
        let made = || Firmware::new(description, bus, ear(description, bus), estimator());
        let recipe = &description.recipes[bus.recipe].shares;
        let fluxes = description.channels.iter().map(|channel| channel.flux_lm);
        let full_lm: f64 = fluxes.zip(recipe).map(|(flux, share)| flux * share).sum();
        Self {
            description,
            bus,
            kind,
            random,
            firmware: made(),
            twin: kind.has_twin().then(made),
            clock: ControlClock::new(PERIOD, kind.late(), JUMP_STEPS).expect("a good period"),
            pipe: (kind == FaultKind::Underrun).then(|| Pipe::new(description)),
            watch: Watch::new(
                f64::from(description.control_hz),
                match &bus.kind {
                    BusKind::Iec62386(set) => set.curve,
                    BusKind::Dmx512(_) => ControlCurve::Logarithmic,
                },
                description.full_output_cd_m2 / full_lm,
            ),
            offset: 0,
            held: 0,
            next_fault: description.control_hz / 2,
            lost_periods: 0,
            refused_images: 0,
            injected: 0,
            jumps_owed: 0,
        }
    }

    /// Where the light is.
    fn place(&self) -> (Level, Vec<Share>) {
        let luminaire = &self.firmware.luminaire;
        // What an estimator makes of the shares depends on how warm it has become.
        let shares = match self.kind {
            FaultKind::Temperature => core_shares(&[]),
            _ => luminaire.shares(),
        };
        (luminaire.level(), shares)
    }
}

fn settled<'a>(
    description: &Description,
    correction: &'a Configuration<MOST_CHANNELS>,
) -> Estimator<'a, MOST_CHANNELS> {
    let mut estimator = Estimator::new(correction);
    let dark = [milliglow::Light::BLACK; MOST_CHANNELS];
    estimator.settle(Some(warm_board(description)), &dark);
    estimator
}
