//! The light of the script on its way to another thread, in blocks that come back to be filled again: no more are made
//! however long the script is.

use std::mem::take;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};

use crate::run::{Stand, Step};

/// Words of a channel that are passed on together.
const WORDS: usize = 1 << 14;
/// Blocks that are underway at the most, one being filled and one being looked at among them.
const BLOCKS: usize = 3;

/// Some light of the script.
#[derive(Default)]
pub(super) struct Block {
    /// The words of each channel.
    pub(super) words: Vec<Vec<u32>>,
    /// How the channels stood, and up to which word.
    pub(super) stands: Vec<(usize, Vec<Stand>)>,
    /// When each control step is half over, in seconds, and the ideal flux there in lm.
    pub(super) ideal: Vec<(f64, f64)>,
    /// When a fade of no time begins, in seconds.
    pub(super) jumps: Vec<f64>,
}

/// Where light goes in.
pub(in crate::check) struct Feed {
    block: Block,
    control_hz: f64,
    full: SyncSender<Block>,
    empty: Receiver<Block>,
}

/// Where it comes out.
pub(in crate::check) struct Blocks {
    full: Receiver<Block>,
    empty: SyncSender<Block>,
}

/// Both ends for a luminaire of so many channels and control steps a second.
pub(in crate::check) fn feed(channels: usize, control_hz: u32) -> (Feed, Blocks) {
    let (full, full_out) = sync_channel(BLOCKS);
    let (empty, empty_out) = sync_channel(BLOCKS);
    let block = || Block {
        words: vec![Vec::with_capacity(WORDS); channels],
        stands: Vec::new(),
        ..Block::default()
    };
    for _ in 1..BLOCKS {
        empty.send(block()).expect("room for every block");
    }
    let feed = Feed {
        block: block(),
        control_hz: f64::from(control_hz),
        full,
        empty: empty_out,
    };
    let blocks = Blocks {
        full: full_out,
        empty,
    };
    (feed, blocks)
}

impl Feed {
    /// Takes a control step and the flux that an ideal luminaire would give after it.
    pub(in crate::check) fn see(&mut self, step: &Step, ideal_flux: f64) {
        // The step is in force until the next one: on average the light is half a step ahead.
        let begin_s = (step.overall - 1) as f64 / self.control_hz;
        let middle_s = begin_s + 0.5 / self.control_hz;
        self.block.ideal.push((middle_s, ideal_flux));
        if step.is_jump {
            self.block.jumps.push(begin_s);
        }
        for (kept, words) in self.block.words.iter_mut().zip(step.words) {
            kept.extend_from_slice(words);
        }
        self.block.stand(step.stands);
        if self.block.words[0].len() >= WORDS {
            self.pass_on();
        }
    }

    /// A judge that is gone has panicked, which its thread's end will tell.
    fn pass_on(&mut self) {
        if self.full.send(take(&mut self.block)).is_ok() {
            self.block = self.empty.recv().unwrap_or_default();
        }
    }

    /// Passes on what is left.
    pub(in crate::check) fn end(mut self) {
        self.pass_on();
    }
}

impl Block {
    /// How the channels stood for the words that came since; rows are all that the light needs of it.
    fn stand(&mut self, stands: &[Stand]) {
        let end = self.words[0].len();
        let rows = |stands: &[Stand]| stands.iter().map(|stand| stand.row).collect::<Vec<_>>();
        match self.stands.last_mut() {
            Some((last, before)) if rows(before) == rows(stands) => *last = end,
            _ => self.stands.push((end, stands.to_vec())),
        }
    }

    /// Shows the words piece by piece, each with how the channels stood.
    pub(super) fn each_piece(&self, mut see: impl FnMut(&[&[u32]], &[Stand])) {
        let mut begin = 0;
        for (end, stands) in &self.stands {
            let words: Vec<_> = self.words.iter().map(|words| &words[begin..*end]).collect();
            see(&words, stands);
            begin = *end;
        }
    }
}

impl Blocks {
    /// Shows every block, until the feed ends.
    pub(super) fn each(self, mut see: impl FnMut(&Block)) {
        for mut block in self.full {
            see(&block);
            block.words.iter_mut().for_each(Vec::clear);
            block.stands.clear();
            block.ideal.clear();
            block.jumps.clear();
            // Nobody fills blocks any more after the end.
            self.empty.send(block).ok();
        }
    }
}
