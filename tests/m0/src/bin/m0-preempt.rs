//! Lets the tick interrupt break into an update after each of its instructions in turn, in both priorities: no half-made state
//! is seen, and none is lost.
//!
//! `bash tests/parts/on-target.sh` builds the firmware `preempted` and calls this with it.

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use milliglow_m0::{Fault, Image, Machine, Timing};

const CHANNELS: usize = 5;
const UPDATES: usize = 9;

/// What both contexts share, at its address in RAM.
struct State {
    luminaire: u32,
    shared: u32,
    drawn: u32,
    bytes: u32,
}

impl State {
    fn new(machine: &mut Machine) -> Result<Self, Fault> {
        let [luminaire, shared, drawn] = ["luminaire", "mailbox", "drawn"];
        let mut place = |what| {
            let bytes = machine.call(&format!("size_of_{what}"), &[])?.results[0];
            machine.allocate(bytes)
        };
        let (luminaire, shared, drawn) = (place(luminaire)?, place(shared)?, place(drawn)?);
        machine.call("set_up", &[luminaire, shared, drawn])?;
        let bytes = machine.allocate(0)? - luminaire;
        Ok(Self {
            luminaire,
            shared,
            drawn,
            bytes,
        })
    }

    /// All of it, to begin again from.
    fn saved(&self, machine: &Machine) -> Result<Vec<u32>, Fault> {
        machine.read_words(self.luminaire, self.bytes as usize / 4)
    }

    /// The densities that the interrupt drew with last.
    fn drawn(&self, machine: &Machine) -> Result<Vec<u32>, Fault> {
        machine.read_words(self.drawn, CHANNELS)
    }
}

/// A function, and the handler that breaks into it.
struct Contest {
    update: &'static str,
    tick: &'static str,
    /// The reader is interrupted by the writer instead.
    reversed: bool,
}

/// Points of interruption, and those from which a mixture of old and new was seen.
#[derive(Default)]
struct Seen {
    points: u32,
    torn: u32,
    new: u32,
}

impl Contest {
    fn run(&self, image: &Image) -> Result<Seen, Fault> {
        let mut machine = Machine::new(image, Timing::FAST)?;
        let state = State::new(&mut machine)?;
        let mut seen = Seen::default();
        for _ in 0..UPDATES {
            self.one_update(&mut machine, &state, &mut seen)?;
        }
        Ok(seen)
    }

    /// Goes on from the update undisturbed.
    fn one_update(
        &self,
        machine: &mut Machine,
        state: &State,
        seen: &mut Seen,
    ) -> Result<(), Fault> {
        let update = [state.luminaire, state.shared];
        let tick = [state.drawn, state.shared];
        machine.call(self.tick, &tick)?;
        let (before, old) = (state.saved(machine)?, state.drawn(machine)?);
        machine.call(self.update, &update)?;
        machine.call(self.tick, &tick)?;
        let (after, new) = (state.saved(machine)?, state.drawn(machine)?);
        let (first, second) = ((self.update, &update[..]), (self.tick, &tick[..]));
        for point in 0.. {
            machine.write_words(state.luminaire, &before)?;
            let pair = if self.reversed {
                (second, first)
            } else {
                (first, second)
            };
            if machine.call_interrupted(pair.0, pair.1, point)?.is_none() {
                break;
            }
            let drawn = state.drawn(machine)?;
            seen.points += 1;
            seen.new += u32::from(drawn == new && new != old);
            seen.torn += u32::from(drawn != new && drawn != old);
            // Whatever the interrupt saw, the next one finds the whole update.
            machine.call(self.tick, &tick)?;
            seen.torn += u32::from(state.drawn(machine)? != new);
        }
        machine.write_words(state.luminaire, &after)
    }
}

fn run(firmware: &str) -> Result<(), Box<dyn Error>> {
    let image = Image::parse(&std::fs::read(Path::new(firmware))?)?;
    for reversed in [false, true] {
        let (update, tick) = ("update", "tick");
        let seen = Contest {
            update,
            tick,
            reversed,
        }
        .run(&image)?;
        println!("{} interruptions, {} torn", seen.points, seen.torn);
        if seen.torn != 0 || seen.new == 0 || seen.points < 1_000 {
            return Err("a half-made state was seen, or too little was tried".into());
        }
    }
    let (update, tick) = ("update_plain", "tick_plain");
    let plain = Contest {
        update,
        tick,
        reversed: false,
    }
    .run(&image)?;
    if plain.torn == 0 {
        return Err(
            "words shared without a mailbox were never seen torn: the test sees nothing".into(),
        );
    }
    println!("without a mailbox {} torn", plain.torn);
    Ok(())
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [firmware] = arguments.as_slice() else {
        eprintln!("usage: m0-preempt FIRMWARE");
        return ExitCode::from(2);
    };
    match run(firmware) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("m0-preempt: {error}");
            ExitCode::FAILURE
        }
    }
}
