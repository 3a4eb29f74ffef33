//! The steps of writer and reader, on any memory: the real one, or one that interrupts at every step.

/// One of two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Half {
    First,
    Second,
}

impl Half {
    const fn from_word(word: u32) -> Self {
        if word == 0 { Self::First } else { Self::Second }
    }

    const fn other(self) -> Self {
        match self {
            Self::First => Self::Second,
            Self::Second => Self::First,
        }
    }
}

/// One of four: a pair, and a half of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Slot(Half, Half);

impl Slot {
    pub(super) const fn index(self) -> usize {
        self.0 as usize * 2 + self.1 as usize
    }
}

/// A word of the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// The pair that was written last. Stored by the writer.
    Latest,
    /// The pair that is read. Stored by the reader.
    Reading,
    /// The half of a pair that was written last. Stored by the writer.
    Newest(Half),
    /// The number of the message in a slot.
    Number(Slot),
    /// A word of the message in a slot.
    Word(Slot, usize),
    /// How many messages were written. The writer's own.
    Written,
    /// The number of the last message taken. The reader's own.
    Seen,
}

/// What can be loaded and stored a word at a time.
pub(super) trait Memory {
    fn load(&self, place: Place) -> u32;
    fn store(&self, place: Place, value: u32);
}

/// Into the pair that is not read, and there into the half that was not written last: nobody reads it.
#[inline]
pub(super) fn write<const W: usize>(memory: &impl Memory, words: &[u32; W]) {
    let number = memory.load(Place::Written).wrapping_add(1);
    let pair = Half::from_word(memory.load(Place::Reading)).other();
    let half = Half::from_word(memory.load(Place::Newest(pair))).other();
    let slot = Slot(pair, half);
    for (index, &word) in words.iter().enumerate() {
        memory.store(Place::Word(slot, index), word);
    }
    memory.store(Place::Number(slot), number);
    memory.store(Place::Newest(pair), half as u32);
    memory.store(Place::Latest, pair as u32);
    memory.store(Place::Written, number);
}

/// Says which pair it reads before it asks for the half, so that the writer stays out of that pair.
#[inline]
pub(super) fn read<const W: usize>(memory: &impl Memory) -> Option<[u32; W]> {
    let pair = Half::from_word(memory.load(Place::Latest));
    memory.store(Place::Reading, pair as u32);
    let half = Half::from_word(memory.load(Place::Newest(pair)));
    let slot = Slot(pair, half);
    let number = memory.load(Place::Number(slot));
    let mut words = [0; W];
    for (index, word) in words.iter_mut().enumerate() {
        *word = memory.load(Place::Word(slot, index));
    }
    if number == memory.load(Place::Seen) {
        return None;
    }
    memory.store(Place::Seen, number);
    Some(words)
}
