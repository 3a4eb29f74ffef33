//! The streams of a held light as VCD (IEEE 1364), to be laid beside what a logic analyser recorded.

use std::io::{self, Write};

use milliglow::Level;
use vcd::{IdCode, TimescaleUnit, Writer};

use crate::description::Description;
use crate::run::{steady, stream};

/// Picoseconds in a second: no tick of a whole number of hertz is off by more than half of one.
const PICOSECONDS: u128 = 1_000_000_000_000;

/// Writes a recipe held at a Level for `seconds`, rounded up to 32 ticks: a one-bit signal a channel, named like it (what
/// is no letter, digit or `_` becomes `_`), times in ps from the first tick.
///
/// *Size*: about 12 bytes an edge.
///
/// # Errors
/// What `out` says.
pub fn write_vcd(
    description: &Description,
    recipe: usize,
    level: Level,
    seconds: f64,
    out: impl Write,
) -> io::Result<()> {
    let mut edges = Edges::begin(description, out)?;
    let mut written = Ok(());
    let words = (seconds * f64::from(description.tick_hz) / 32.0).ceil() as usize;
    let mut luminaire = steady(description, recipe, level);
    let channels = description.channels.len();
    stream(&mut luminaire, channels, words, |buffers| {
        if written.is_ok() {
            written = edges.words(buffers);
        }
    });
    written.and_then(|()| edges.end())
}

struct Edges<W: Write> {
    writer: Writer<W>,
    tick_hz: u128,
    tick: u64,
    /// Code and state of each signal.
    signals: Vec<(IdCode, Option<bool>)>,
}

impl<W: Write> Edges<W> {
    fn begin(description: &Description, out: W) -> io::Result<Self> {
        let mut writer = Writer::new(out);
        writer.version(concat!("milliglow ", env!("CARGO_PKG_VERSION")))?;
        writer.timescale(1, TimescaleUnit::PS)?;
        writer.add_module("luminaire")?;
        let signals = description.channels.iter().map(|channel| {
            let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '_' };
            let name: String = channel.name.chars().map(plain).collect();
            Ok((writer.add_wire(1, &name)?, None))
        });
        let signals = signals.collect::<io::Result<_>>()?;
        writer.upscope()?;
        writer.enddefinitions()?;
        Ok(Self {
            writer,
            tick_hz: u128::from(description.tick_hz),
            tick: 0,
            signals,
        })
    }

    /// The next words of every channel, `channels[channel]` each.
    fn words(&mut self, channels: &[&[u32]]) -> io::Result<()> {
        let count = channels.first().map_or(0, |words| words.len());
        (0..count).try_for_each(|index| self.word(channels.iter().map(|words| words[index])))
    }

    /// The next 32 ticks of every channel, the earliest in the most significant bit.
    fn word(&mut self, words: impl Iterator<Item = u32> + Clone) -> io::Result<()> {
        for bit in (0..32).rev() {
            let bits = words.clone().map(|word| word >> bit & 1 == 1);
            let changes = self.signals.iter().zip(bits.clone());
            if changes
                .clone()
                .any(|((_, before), now)| *before != Some(now))
            {
                self.time()?;
                for ((code, before), now) in self.signals.iter_mut().zip(bits) {
                    if before.replace(now) != Some(now) {
                        self.writer.change_scalar(*code, now)?;
                    }
                }
            }
            self.tick += 1;
        }
        Ok(())
    }

    fn time(&mut self) -> io::Result<()> {
        let picoseconds = (u128::from(self.tick) * PICOSECONDS + self.tick_hz / 2) / self.tick_hz;
        self.writer.timestamp(picoseconds as u64)
    }

    fn end(mut self) -> io::Result<()> {
        self.time()?;
        self.writer.flush()
    }
}
