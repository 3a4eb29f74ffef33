//! Blocks of text, each parsed by a thread beside: reading goes on meanwhile.

use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;

use super::layout::Layout;
use super::lines::LONGEST;
use super::rows::{Row, quickly};

/// Threads that parse.
const THREADS: usize = 2;
/// Blocks that are underway at the most.
pub(super) const UNDERWAY: usize = 2 * THREADS;

/// Whole lines, and what they hold.
#[derive(Default)]
pub(super) struct Block {
    pub(super) text: Vec<u8>,
    /// The rows, one a line.
    pub(super) rows: Vec<Row>,
    /// Whether there is more than bare numbers: the rows are then void.
    pub(super) is_irregular: bool,
}

/// Blocks go in and come out in the same order.
pub(super) struct Parsing {
    threads: [(SyncSender<Block>, Receiver<Block>); THREADS],
    given: usize,
    taken: usize,
    /// Blocks that can be filled anew.
    spare: Vec<Block>,
}

impl Parsing {
    pub(super) fn new(layout: Layout) -> Self {
        Self {
            threads: std::array::from_fn(|_| thread(layout)),
            given: 0,
            taken: 0,
            spare: Vec::new(),
        }
    }

    pub(super) fn underway(&self) -> usize {
        self.given - self.taken
    }

    /// An empty block.
    pub(super) fn spare(&mut self) -> Block {
        self.spare.pop().unwrap_or_default()
    }

    /// At most [`UNDERWAY`] may be.
    pub(super) fn give(&mut self, block: Block) {
        let (full, _) = &self.threads[self.given % THREADS];
        full.send(block).expect("a thread that parses");
        self.given += 1;
    }

    /// The next block in the order in which they were given, in place of one that is done with.
    pub(super) fn take(&mut self, done: Block) -> Block {
        self.spare.push(done);
        let (_, parsed) = &self.threads[self.taken % THREADS];
        self.taken += 1;
        parsed.recv().expect("a thread that parses")
    }
}

/// It ends when its blocks do.
fn thread(layout: Layout) -> (SyncSender<Block>, Receiver<Block>) {
    let (full, blocks) = sync_channel::<Block>(UNDERWAY);
    let (done, parsed) = sync_channel(UNDERWAY);
    thread::spawn(move || {
        for mut block in blocks {
            block.rows.clear();
            block.is_irregular = parse(&block.text, layout, &mut block.rows).is_none();
            if done.send(block).is_err() {
                return;
            }
        }
    });
    (full, parsed)
}

/// None where a line is not all bare numbers.
fn parse(text: &[u8], layout: Layout, rows: &mut Vec<Row>) -> Option<()> {
    let mut begin = 0;
    while begin < text.len() {
        let rest = &text[begin..];
        let length = memchr::memchr(b'\n', rest).unwrap_or(rest.len());
        let line = &rest[..length];
        let line = line.strip_suffix(b"\r").unwrap_or(line);
        if line.len() >= LONGEST {
            return None;
        }
        rows.push(quickly(line, layout)?);
        begin += length + 1;
    }
    Some(())
}
