//! Whole luminaires for one emulated second: what part of a processor of 48 MHz they take.

use milliglow_m0::ledger::Row;
use milliglow_m0::{Cost, Fault, Machine};

use crate::bench::{Item, worst};

const CLOCK_HZ: u32 = 48_000_000;
const TICK_HZ: u32 = 3_000_000;
const CONTROL_HZ: u32 = 1_000;
/// Words of a half of a channel's double buffer.
const WORDS: u32 = 128;
/// What a processor takes to enter and to leave an interrupt, and a call there: 16 by the Technical Reference Manual, as many back
/// and 4 for BL.
const INTERRUPT: u64 = 16 + 16 + 4;

/// Test lights, and what they are called.
const LIGHTS: [(&str, f64); 5] = [
    ("100", 1.0),
    ("50", 0.5),
    ("10", 0.1),
    ("1", 0.01),
    ("01", 0.001),
];
/// Lights over which the dearest is looked for, and the control steps for which each stands.
const SOUGHT: u32 = 60;
const STANDS: u32 = 60;

const fn bits(light: f64) -> u32 {
    (light * 4_294_967_296.0) as u32
}

/// How words are drawn.
#[derive(Clone, Copy)]
struct Way {
    channels: u32,
    /// `fast` or `small`.
    profile: &'static str,
    is_stretched: bool,
}

/// A luminaire with its double buffers, and how far time is.
struct Running {
    way: Way,
    at: u32,
    halves: [u32; 2],
    /// In ticks: of the next control step and of the next fill.
    control_due: u32,
    fill_due: u32,
    turn: usize,
}

impl Running {
    fn new(machine: &mut Machine, way: Way) -> Result<Self, Fault> {
        let n = way.channels;
        let bytes = machine.call(&format!("size_of_whole_{n}"), &[])?.results[0];
        let at = machine.allocate(bytes)?;
        let halves = [
            machine.allocate(4 * WORDS * n)?,
            machine.allocate(4 * WORDS * n)?,
        ];
        machine.call(&format!("whole_new_{n}"), &[at, way.is_stretched.into()])?;
        Ok(Self {
            way,
            at,
            halves,
            control_due: 0,
            fill_due: 0,
            turn: 0,
        })
    }

    fn go(&self, machine: &mut Machine, light: f64, steps: u32) -> Result<(), Fault> {
        let function = format!("whole_go_{}", self.way.channels);
        machine.call(&function, &[self.at, bits(light).wrapping_sub(1), steps])?;
        Ok(())
    }

    /// Whichever is due next, in an interrupt.
    fn interrupt(&mut self, machine: &mut Machine) -> Result<Cost, Fault> {
        let n = self.way.channels;
        let mut cost = if self.control_due <= self.fill_due {
            self.control_due += TICK_HZ / CONTROL_HZ;
            machine.call(&format!("whole_control_{n}"), &[self.at])?
        } else {
            self.fill_due += 32 * WORDS;
            self.turn ^= 1;
            let (previous, words) = (self.halves[self.turn ^ 1], self.halves[self.turn]);
            let function = format!("whole_{}_{n}", self.way.profile);
            machine.call(&function, &[self.at, previous, words])?
        };
        cost.cycles += INTERRUPT;
        Ok(cost)
    }

    /// All that is due in so many control periods, together.
    fn run(&mut self, machine: &mut Machine, periods: u32) -> Result<Cost, Fault> {
        let end = self.control_due + periods * (TICK_HZ / CONTROL_HZ);
        let mut all = Cost::default();
        while self.control_due < end || self.fill_due < end {
            let cost = self.interrupt(machine)?;
            all.instructions += cost.instructions;
            all.cycles += cost.cycles;
            all.stack_bytes = all.stack_bytes.max(cost.stack_bytes);
        }
        Ok(all)
    }
}

/// The item's name, the functions that it calls, and how; its figures are percents of the clock.
pub(crate) type Seconds = (String, [String; 2], Box<Item<'static>>);

/// What figures are divided by: a hundredth of the cycles of a second.
pub(crate) const PERCENT: u32 = CLOCK_HZ / 100;

fn item(
    way: Way,
    name: &str,
    run: impl Fn(&mut Machine, &mut Running) -> Result<Cost, Fault> + 'static,
) -> Seconds {
    let (n, profile) = (way.channels, way.profile);
    let stretched = if way.is_stretched { "stretched_" } else { "" };
    (
        format!("cpu_{profile}_{n}_{stretched}{name}"),
        [format!("whole_control_{n}"), format!("whole_{profile}_{n}")],
        Box::new(move |machine| {
            let mut running = Running::new(machine, way)?;
            run(machine, &mut running)
        }),
    )
}

/// A second at a light, from the dark on.
fn standing(way: Way, (name, light): (&str, f64)) -> Seconds {
    item(way, name, move |machine, running| {
        running.go(machine, light, 0)?;
        running.run(machine, CONTROL_HZ)
    })
}

/// A second from full to 0.1 %.
fn fading(way: Way) -> Seconds {
    item(way, "fade", |machine, running| {
        running.go(machine, 1.0, 0)?;
        running.run(machine, 10)?;
        running.go(machine, 0.001, CONTROL_HZ)?;
        running.run(machine, CONTROL_HZ)
    })
}

/// The dearest of lights in even steps of the curve from full to 0.1 %, as if it stood for a second.
fn dearest(way: Way) -> Seconds {
    item(way, "dearest", |machine, running| {
        let mut costs = Vec::new();
        for k in 0..=SOUGHT {
            let light = 0.001_f64.powf(f64::from(k) / f64::from(SOUGHT));
            running.go(machine, light, 0)?;
            running.run(machine, 10)?;
            let mut cost = running.run(machine, STANDS)?;
            cost.instructions = cost.instructions * u64::from(CONTROL_HZ) / u64::from(STANDS);
            cost.cycles = cost.cycles * u64::from(CONTROL_HZ) / u64::from(STANDS);
            costs.push(Ok(cost));
        }
        worst(costs)
    })
}

/// Ticks of a DMA's transfer to a shift output, and cycles that it keeps the bus: common practice, as in `[chip]` of a description.
const TRANSFERRED: u32 = 16;
const TRANSFER: u32 = 4;

/// The part of the bus that transfers take; the processor stalls for no more.
pub(crate) fn stalls(channels: u32, opt_level: &str) -> Row {
    let mut row = Row {
        item: format!("cpu_dma_{channels}"),
        opt_level: opt_level.to_owned(),
        ..Row::default()
    };
    let cycles = channels * (TICK_HZ / TRANSFERRED) * TRANSFER;
    row.figures[1] = Some(f64::from(cycles) / f64::from(PERCENT));
    row
}

/// Channels of the luminaires here.
pub(crate) const CHANNELS_OF_SECONDS: [u32; 2] = [5, 9];

/// All of them.
pub(crate) fn measured() -> Vec<Seconds> {
    let mut items = Vec::new();
    for channels in CHANNELS_OF_SECONDS {
        for (profile, is_stretched) in [
            ("fast", false),
            ("fast", true),
            ("small", false),
            ("small", true),
        ] {
            let way = Way {
                channels,
                profile,
                is_stretched,
            };
            items.extend(LIGHTS.map(|light| standing(way, light)));
            items.push(dearest(way));
            items.push(fading(way));
        }
    }
    items
}
