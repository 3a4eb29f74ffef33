//! Whole luminaires on the machine.

use milliglow_m0::{Cost, Fault, Machine};

use crate::bench::worst;

/// Ticks of a control step at 3 MHz and 1 kHz, in whole words.
pub(crate) const TICKS: u32 = 32 * WORDS;
const WORDS: u32 = 94;

/// A luminaire in RAM, with what its functions need.
pub(crate) struct Luminaire {
    /// What sets it up.
    new: &'static str,
    channels: u32,
    at: u32,
    target: u32,
    shares: u32,
    words: u32,
}

impl Luminaire {
    /// In the dark, without operating tables.
    pub(crate) fn new(machine: &mut Machine, channels: u32) -> Result<Self, Fault> {
        Self::made("new", machine, channels)
    }

    /// Each channel with three rows, which begin at 0, 3 and 15 % of its light.
    fn with_rows(machine: &mut Machine, channels: u32) -> Result<Self, Fault> {
        Self::made("new_rows", machine, channels)
    }

    fn made(new: &'static str, machine: &mut Machine, channels: u32) -> Result<Self, Fault> {
        let size = |machine: &mut Machine, what: &str| {
            machine
                .call(&format!("{what}_{channels}"), &[])
                .map(|cost| cost.results[0])
        };
        let (bytes, target_bytes) = (size(machine, "size_of")?, size(machine, "size_of_target")?);
        let luminaire = Self {
            new,
            channels,
            at: machine.allocate(bytes)?,
            target: machine.allocate(target_bytes)?,
            shares: machine.allocate(4 * channels)?,
            words: machine.allocate(4 * WORDS * channels)?,
        };
        luminaire.set_up(machine)?;
        Ok(luminaire)
    }

    fn call(&self, machine: &mut Machine, what: &str, arguments: &[u32]) -> Result<Cost, Fault> {
        machine.call(&format!("{what}_{}", self.channels), arguments)
    }

    /// `Luminaire::new` at run time.
    pub(crate) fn set_up(&self, machine: &mut Machine) -> Result<Cost, Fault> {
        self.call(machine, self.new, &[self.at, 1])
    }

    /// `Luminaire::fade_to` with `Pace::new`, shares that `share` gives by channel.
    pub(crate) fn retarget(
        &self,
        machine: &mut Machine,
        level: u32,
        share: impl Fn(u32) -> u32,
        steps: u32,
    ) -> Result<Cost, Fault> {
        let shares: Vec<u32> = (0..self.channels).map(share).collect();
        machine.write_words(self.shares, &shares)?;
        self.call(machine, "target", &[self.target, level, self.shares])?;
        self.call(machine, "retarget", &[self.at, self.target, steps])
    }

    pub(crate) fn control(&self, machine: &mut Machine) -> Result<Cost, Fault> {
        self.call(machine, "control", &[self.at])
    }

    fn fill(&self, machine: &mut Machine) -> Result<Cost, Fault> {
        self.call(machine, "fill", &[self.at, self.words])
    }
}

/// The costliest control period of a fade to full from where the exponential curve begins: control step and fill.
pub(crate) fn worst_period(machine: &mut Machine, channels: u32) -> Result<Cost, Fault> {
    let luminaire = Luminaire::new(machine, channels)?;
    luminaire.retarget(machine, 10_000, |channel| 1 << (31 - channel), 0)?;
    luminaire.control(machine)?;
    luminaire.retarget(machine, 65_535, |channel| 3 << (30 - channel), 24)?;
    let mut period = || {
        let (control, fill) = (luminaire.control(machine)?, luminaire.fill(machine)?);
        Ok(Cost {
            instructions: control.instructions + fill.instructions,
            cycles: control.cycles + fill.cycles,
            stack_bytes: control.stack_bytes.max(fill.stack_bytes),
            ..Cost::default()
        })
    };
    worst((0..24).map(|_| period()))
}

/// The costliest control step of a luminaire that is lit: in the tail and above it, on a short fade and on a long one.
pub(crate) fn worst_control(machine: &mut Machine, channels: u32) -> Result<Cost, Fault> {
    let luminaire = Luminaire::new(machine, channels)?;
    let mut costs = Vec::new();
    for (level, steps) in [(60_000, 60), (100, 70_000), (1, 60), (65_535, 50)] {
        luminaire.retarget(machine, level, |channel| 3 << (30 - channel), steps)?;
        luminaire.control(machine)?; // the first wakes the channels up
        costs.extend((0..64).map(|_| luminaire.control(machine)));
    }
    worst(costs)
}

/// Three quarters.
const MOST: u32 = 3 << 30;

/// The costliest control step with operating tables while each channel stays in its row: deep in the lowest, and in the highest.
pub(crate) fn worst_in_rows(machine: &mut Machine, channels: u32) -> Result<Cost, Fault> {
    let luminaire = Luminaire::with_rows(machine, channels)?;
    let mut costs = Vec::new();
    for (from, to) in [(5_000, 20_000), (60_000, 65_535)] {
        luminaire.retarget(machine, from, |channel| MOST - channel, 0)?;
        luminaire.control(machine)?;
        for steps in [60, 70_000] {
            luminaire.retarget(machine, to, |channel| MOST - 16 * channel, steps)?;
            costs.extend((0..60).map(|_| luminaire.control(machine)));
        }
    }
    worst(costs)
}

/// The costliest control step in which all channels change their row.
pub(crate) fn worst_row_change(machine: &mut Machine, channels: u32) -> Result<Cost, Fault> {
    let luminaire = Luminaire::with_rows(machine, channels)?;
    let mut costs = Vec::new();
    for level in [5_000, 65_535, 50_000, 5_000, 50_000, 65_535, 5_000] {
        luminaire.retarget(machine, level, |channel| MOST - channel, 0)?;
        costs.push(luminaire.control(machine));
        luminaire.fill(machine)?;
    }
    // The first came out of the dark.
    worst(costs.into_iter().skip(1))
}

/// The costliest control step out of the dark, all channels waking up.
pub(crate) fn worst_wake(machine: &mut Machine, channels: u32) -> Result<Cost, Fault> {
    let luminaire = Luminaire::new(machine, channels)?;
    let mut costs = Vec::new();
    for (level, steps) in [(100, 20), (65_535, 20), (65_535, 70_000)] {
        luminaire.retarget(machine, level, |channel| 3 << (30 - channel), steps)?;
        costs.extend((0..16).map(|_| luminaire.control(machine)));
        luminaire.retarget(machine, 0, |_| 0, 0)?;
        luminaire.control(machine)?;
    }
    worst(costs)
}

/// The costliest new target in flight: 400 of them, at random, on short and long fades.
pub(crate) fn worst_retarget(machine: &mut Machine, channels: u32) -> Result<Cost, Fault> {
    let luminaire = Luminaire::new(machine, channels)?;
    let mut random = 1_u32;
    let mut next = || {
        random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        random
    };
    let mut costs = Vec::new();
    for turn in 0..400 {
        let (level, mixed, steps) = (next() >> 16, next(), next() >> (turn % 31));
        let share = |channel: u32| mixed.wrapping_mul(2 * channel + 1) ^ mixed >> 7;
        costs.push(luminaire.retarget(machine, level, share, steps));
        luminaire.control(machine)?;
    }
    worst(costs)
}
