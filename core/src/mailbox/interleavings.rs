//! Every interruption of every step, for both priorities, on the very code of the mailbox.

use core::cell::Cell;

use super::four_slot::{Memory, Place, read, write};

/// Words of a message: the message's number, and the number again in other bits.
const W: usize = 2;
/// Loads and stores of a read and of a write.
const READ: usize = W + 6;
const WRITE: usize = W + 7;
/// Most places where one context can interrupt the other: before each access of two operations in a row, and after them.
const BOUNDARIES: usize = 2 * WRITE + 1;

fn message(number: u32) -> [u32; W] {
    [number, number.wrapping_mul(0x9E37_79B9)]
}

/// Which is whole, or is none.
fn number_of(words: [u32; W]) -> Option<u32> {
    (words == message(words[0])).then_some(words[0])
}

#[derive(Clone, Copy, PartialEq)]
enum Interrupter {
    Writer,
    Reader,
}

/// Memory on which, before each access of the one that can be interrupted, the other does so many whole operations.
struct Interrupted {
    cells: [Cell<u32>; 18],
    interrupter: Interrupter,
    /// How often, at each boundary.
    plan: [u8; BOUNDARIES],
    boundary: Cell<usize>,
    is_inside: Cell<bool>,
    /// Messages written to their end, and begun.
    done: Cell<u32>,
    begun: Cell<u32>,
    /// The last one read.
    last: Cell<u32>,
    faults: Cell<u32>,
    /// Deliberate: the writer does not look where the reader is.
    is_blind: bool,
}

impl Interrupted {
    fn new(interrupter: Interrupter, plan: [u8; BOUNDARIES], is_blind: bool) -> Self {
        Self {
            cells: [const { Cell::new(0) }; 18],
            interrupter,
            plan,
            boundary: Cell::new(0),
            is_inside: Cell::new(false),
            done: Cell::new(0),
            begun: Cell::new(0),
            last: Cell::new(0),
            faults: Cell::new(0),
            is_blind,
        }
    }

    fn cell(&self, place: Place) -> &Cell<u32> {
        let index = match place {
            Place::Latest => 0,
            Place::Reading => 1,
            Place::Newest(pair) => 2 + pair as usize,
            Place::Written => 4,
            Place::Seen => 5,
            Place::Number(slot) => 6 + slot.index(),
            Place::Word(slot, word) => 10 + W * slot.index() + word,
        };
        &self.cells[index]
    }

    fn boundary(&self) {
        if self.is_inside.get() {
            return;
        }
        let times = self.plan[self.boundary.get()];
        self.boundary.set(self.boundary.get() + 1);
        self.is_inside.set(true);
        for _ in 0..times {
            match self.interrupter {
                Interrupter::Writer => self.write(),
                Interrupter::Reader => self.read(),
            }
        }
        self.is_inside.set(false);
    }

    fn write(&self) {
        self.begun.set(self.begun.get() + 1);
        write(self, &message(self.begun.get()));
        self.done.set(self.begun.get());
    }

    /// Whole, not older than what was there when the read began nor than what was read before, and not from the future.
    fn read(&self) {
        let oldest = self.done.get();
        let good = match read::<W>(self) {
            None => self.last.get() >= oldest,
            Some(words) => number_of(words).is_some_and(|number| {
                let is_new = number > self.last.get();
                self.last.set(number);
                is_new && (oldest..=self.begun.get()).contains(&number)
            }),
        };
        self.faults.set(self.faults.get() + u32::from(!good));
    }

    /// What was there before: a write or a read for each of three bits, undisturbed.
    fn prepare(&self, prelude: u8) {
        self.is_inside.set(true);
        for bit in 0..3 {
            if prelude >> bit & 1 == 0 {
                self.write();
            } else {
                self.read();
            }
        }
        self.is_inside.set(false);
    }

    /// So many operations in a row under the plan, then a read undisturbed; how many faults.
    fn run(&self, operations: usize) -> u32 {
        for _ in 0..operations {
            match self.interrupter {
                Interrupter::Writer => self.read(),
                Interrupter::Reader => self.write(),
            }
        }
        self.boundary();
        self.is_inside.set(true);
        self.read();
        self.faults.get()
    }
}

impl Memory for Interrupted {
    fn load(&self, place: Place) -> u32 {
        self.boundary();
        if self.is_blind && place == Place::Reading {
            return 0;
        }
        self.cell(place).get()
    }

    fn store(&self, place: Place, value: u32) {
        self.boundary();
        self.cell(place).set(value);
    }
}

/// Runs every plan of 0 to `most` operations at each boundary of so many operations; how many plans, and how many of them show faults.
fn enumerate(interrupter: Interrupter, operations: usize, most: u8, is_blind: bool) -> (u64, u64) {
    let accesses = match interrupter {
        Interrupter::Writer => READ,
        Interrupter::Reader => WRITE,
    };
    let mut plan = [0; BOUNDARIES];
    let (mut plans, mut faulty) = (0, 0);
    loop {
        for prelude in 0..8 {
            let memory = Interrupted::new(interrupter, plan, is_blind);
            memory.prepare(prelude);
            faulty += u64::from(memory.run(operations) != 0);
            plans += 1;
        }
        let boundaries = &mut plan[..=accesses * operations];
        let Some(place) = boundaries.iter().position(|&times| times < most) else {
            return (plans, faulty);
        };
        boundaries[..place].fill(0);
        boundaries[place] += 1;
    }
}

/// Up to three operations wherever one can be interrupted, and up to one wherever two in a row can be.
const SHAPES: [(usize, u8); 2] = [(1, 3), (2, 1)];

#[test]
fn writer_interrupts_reader() {
    for (operations, most) in SHAPES {
        let (plans, faulty) = enumerate(Interrupter::Writer, operations, most, false);
        assert_eq!(
            plans,
            8 * (u64::from(most) + 1).pow((READ * operations + 1) as u32)
        );
        assert_eq!(faulty, 0, "of {plans}");
    }
}

#[test]
fn reader_interrupts_writer() {
    for (operations, most) in SHAPES {
        let (plans, faulty) = enumerate(Interrupter::Reader, operations, most, false);
        assert_eq!(
            plans,
            8 * (u64::from(most) + 1).pow((WRITE * operations + 1) as u32)
        );
        assert_eq!(faulty, 0, "of {plans}");
    }
}

/// The model can see a fault: a writer that does not look where the reader is tears messages.
#[test]
fn a_blind_writer_is_found() {
    let (plans, faulty) = enumerate(Interrupter::Writer, 1, 3, true);
    assert!(faulty > plans / 100, "{faulty} of {plans}");
}

/// Both sides do the same number of steps every time, at most.
#[test]
fn steps_are_bounded() {
    let counted = Interrupted::new(Interrupter::Reader, [0; BOUNDARIES], false);
    counted.write();
    assert_eq!(counted.boundary.get(), WRITE);
    counted.read();
    assert_eq!(counted.boundary.get(), WRITE + READ);
    counted.boundary.set(0);
    counted.read();
    assert_eq!(counted.boundary.get(), READ - 1, "nothing new");
}
