//! Lets an interrupt break into an update after each of its instructions in turn, in both priorities: no half-made state is seen, and
//! none is lost.
//!
//! `bash tests/parts/on-target.sh` builds the firmware `preempted` and calls this with it.

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use milliglow_m0::{Fault, Image, Machine, Timing};

const UPDATES: usize = 14;

/// Who writes and who reads, by the names of the firmware's functions.
struct Parties {
    /// What the writer, both and the reader keep; `size_of_...` says how much, `set_up` makes it.
    kept: [&'static str; 3],
    set_up: &'static str,
    update: &'static str,
    tick: &'static str,
    /// Words that the reader keeps first: what it saw last.
    seen: usize,
}

/// The control loop, which starts fades through recipes and changes rows, and the tick interrupt.
const SETTINGS: Parties = Parties {
    kept: ["luminaire", "settings", "drawn"],
    set_up: "set_up",
    update: "update",
    tick: "tick",
    seen: 7,
};

/// The same without a mailbox.
const PLAIN: Parties = Parties {
    update: "update_plain",
    tick: "tick_plain",
    ..SETTINGS
};

/// The bus and the control loop.
const MOVEMENTS: Parties = Parties {
    kept: ["count", "movements", "moved"],
    set_up: "set_up_movements",
    update: "post_movement",
    tick: "take_movement",
    seen: 8,
};

/// The same, the slots of a mailbox filled all over during one look.
const FOUR: Parties = Parties {
    update: "post_four_movements",
    ..MOVEMENTS
};

/// What the parties keep, at its address in RAM.
struct State {
    writer: u32,
    shared: u32,
    reader: u32,
    bytes: u32,
}

impl State {
    fn new(machine: &mut Machine, parties: &Parties) -> Result<Self, Fault> {
        let mut place = |what: &str| {
            let bytes = machine.call(&format!("size_of_{what}"), &[])?.results[0];
            machine.allocate(bytes)
        };
        let [writer, shared, reader] = parties.kept;
        let (writer, shared, reader) = (place(writer)?, place(shared)?, place(reader)?);
        machine.call(parties.set_up, &[writer, shared, reader])?;
        let bytes = machine.allocate(0)? - writer;
        Ok(Self {
            writer,
            shared,
            reader,
            bytes,
        })
    }

    /// All of it, to begin again from.
    fn saved(&self, machine: &Machine) -> Result<Vec<u32>, Fault> {
        machine.read_words(self.writer, self.bytes as usize / 4)
    }
}

/// Points of interruption, and those from which a mixture of old and new was seen.
#[derive(Default)]
struct Seen {
    points: u32,
    torn: u32,
    new: u32,
    /// Updates that changed the last word: the set point of the last channel, or its share.
    changes: u32,
}

struct Contest {
    machine: Machine,
    parties: Parties,
    /// The reader is interrupted by the writer instead.
    reversed: bool,
    state: State,
}

impl Contest {
    fn run(image: &Image, parties: Parties, reversed: bool) -> Result<Seen, Fault> {
        let mut machine = Machine::new(image, Timing::FAST)?;
        let state = State::new(&mut machine, &parties)?;
        let mut contest = Self {
            machine,
            parties,
            reversed,
            state,
        };
        let mut seen = Seen::default();
        for _ in 0..UPDATES {
            contest.one_update(&mut seen)?;
        }
        Ok(seen)
    }

    /// What the reader saw last.
    fn read(&mut self) -> Result<Vec<u32>, Fault> {
        let State { shared, reader, .. } = self.state;
        self.machine.call(self.parties.tick, &[reader, shared])?;
        self.last()
    }

    fn last(&self) -> Result<Vec<u32>, Fault> {
        self.machine
            .read_words(self.state.reader, self.parties.seen)
    }

    /// Goes on from the update undisturbed.
    fn one_update(&mut self, seen: &mut Seen) -> Result<(), Fault> {
        let State {
            writer,
            shared,
            reader,
            ..
        } = self.state;
        let update = (self.parties.update, [writer, shared]);
        let tick = (self.parties.tick, [reader, shared]);
        // A reader that is interrupted finds something new, for else it looks at nothing.
        if self.reversed {
            self.machine.call(update.0, &update.1)?;
        } else {
            self.read()?;
        }
        let before = self.state.saved(&self.machine)?;
        let old = self.read()?;
        self.machine.write_words(writer, &before)?;
        self.machine.call(update.0, &update.1)?;
        let new = self.read()?;
        let after = self.state.saved(&self.machine)?;
        seen.changes += u32::from(new.last() != old.last());
        let (first, second) = if self.reversed {
            (tick, update)
        } else {
            (update, tick)
        };
        for point in 0.. {
            self.machine.write_words(writer, &before)?;
            let (first, second) = ((first.0, &first.1[..]), (second.0, &second.1[..]));
            if self
                .machine
                .call_interrupted(first, second, point)?
                .is_none()
            {
                break;
            }
            let last = self.last()?;
            seen.points += 1;
            seen.new += u32::from(last == new && new != old);
            seen.torn += u32::from(last != new && last != old);
            // Whatever the interrupt saw, the next one finds the whole update.
            seen.torn += u32::from(self.read()? != new);
        }
        self.machine.write_words(writer, &after)
    }
}

fn run(firmware: &str) -> Result<(), Box<dyn Error>> {
    let image = Image::parse(&std::fs::read(Path::new(firmware))?)?;
    let contests = [
        ("the tick sees an update", SETTINGS, false),
        ("an update comes upon the tick", SETTINGS, true),
        ("the control loop sees a movement", MOVEMENTS, false),
        ("a movement comes upon the control loop", MOVEMENTS, true),
        ("four movements come upon the control loop", FOUR, true),
    ];
    for (name, parties, reversed) in contests {
        let Seen {
            points,
            torn,
            new,
            changes,
        } = Contest::run(&image, parties, reversed)?;
        println!(
            "{name}: {points} interruptions, {torn} torn, {changes} of {UPDATES} changed the last word"
        );
        if torn != 0 || new == 0 || points < 500 || changes < 3 {
            return Err("a half-made state was seen, or too little was tried".into());
        }
    }
    let plain = Contest::run(&image, PLAIN, false)?;
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
