//! `[chip]`: the microcontroller, and how its streams get out.

use super::Problem;
use super::key::{Key, Offer, key};
use super::table::Table;
use super::value::{Number, Whole, Word, above_to, from_to, whole};

pub(super) const NAME: &str = "chip";

const CLOCK_HZ: Key<Whole, Offer> = key(
    "clock_hz",
    whole(1_000_000, 1_000_000_000, "Hz"),
    Offer("48_000_000"),
);
const RAM_BYTES: Key<Whole, Offer> =
    key("ram_bytes", whole(256, 16_777_216, "bytes"), Offer("8_192"));
const OUTPUT: Key<Word<Output>, Offer> = key(
    "output",
    Word(&[
        ("port", Output::Port),
        ("shift", Output::Shift),
        ("timer", Output::Timer),
    ]),
    Offer("\"port\""),
);
const OUTPUTS: Key<Whole<u8>, Offer> = key("outputs", whole(1, 16, ""), Offer("16"));
const WAIT_STATES: Key<Whole<u8>, u8> = key("wait_states", whole(0, 7, ""), 0);
const MULTIPLY_CYCLES: Key<Whole<u8>, u8> = key("multiply_cycles", whole(1, 32, ""), 1);
const DMA_CYCLES: Key<Number, f64> = key("dma_cycles", from_to(0.0, 100.0, ""), 4.0);
const LATENCY_US: Key<Number, f64> =
    key("interrupt_latency_us", from_to(0.0, 100_000.0, "us"), 10.0);
const BUFFER_WORDS: Key<Whole<u16>, u16> = key("buffer_words", whole(1, 4_096, ""), 16);
const CPU_SHARE: Key<Number, f64> = key("cpu_share_percent", above_to(0.0, 100.0, "%"), 80.0);
const BUS_SHARE: Key<Number, f64> = key("bus_share_percent", above_to(0.0, 100.0, "%"), 50.0);

const KEYS: [&str; 11] = [
    CLOCK_HZ.name,
    WAIT_STATES.name,
    MULTIPLY_CYCLES.name,
    RAM_BYTES.name,
    OUTPUT.name,
    OUTPUTS.name,
    DMA_CYCLES.name,
    LATENCY_US.name,
    BUFFER_WORDS.name,
    CPU_SHARE.name,
    BUS_SHARE.name,
];

/// The microcontroller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chip {
    /// Clock in Hz, 1e6 to 1e9.
    pub clock_hz: u32,
    /// Wait states of the flash, 0 to 7. Default 0.
    pub wait_states: u8,
    /// Cycles of a multiplication, 1 to 32. Default 1.
    pub multiply_cycles: u8,
    /// RAM for streams and luminaire in bytes, 256 to 16 MiB.
    pub ram_bytes: u32,
    /// What puts the streams out.
    pub output: Output,
    /// Pins of the port, shift outputs, or channels of timers: 1 to 16.
    pub outputs: u8,
    /// Cycles that a transfer keeps the bus, 0 to 100. Default 4.
    pub dma_cycles: f64,
    /// How long other interrupts keep a refill waiting at most, in seconds, 0 to 0.1. Default 10 us.
    pub interrupt_latency_s: f64,
    /// Words of 32 ticks in each half of the double buffer, 1 to 4 096. Default 16.
    pub buffer_words: u16,
    /// Largest part of the cycles that the light may take, above 0 to 1. Default 0.8, our choice.
    pub cpu_share: f64,
    /// Largest part of the bus that transfers may take, above 0 to 1. Default 0.5, our choice.
    pub bus_share: f64,
}

/// What puts the streams out, without the CPU.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Output {
    /// A DMA writes a port once a tick, a bit a channel.
    Port,
    /// A shift output a channel, which a DMA feeds with 16 ticks at a time.
    Shift,
    /// A timer's compare output a channel: its PWM, or from run to run of a stream, which a DMA feeds.
    Timer,
}

pub(super) fn read(root: &Table<'_>) -> Result<Option<Chip>, Problem> {
    let Some(table) = root.table(NAME)? else {
        return Ok(None);
    };
    table.only(&KEYS)?;
    Ok(Some(Chip {
        clock_hz: table.need(&CLOCK_HZ)?,
        wait_states: table.take(&WAIT_STATES)?,
        multiply_cycles: table.take(&MULTIPLY_CYCLES)?,
        ram_bytes: table.need(&RAM_BYTES)?,
        output: table.need(&OUTPUT)?,
        outputs: table.need(&OUTPUTS)?,
        dma_cycles: table.take(&DMA_CYCLES)?,
        interrupt_latency_s: table.take(&LATENCY_US)? / 1e6,
        buffer_words: table.take(&BUFFER_WORDS)?,
        cpu_share: table.take(&CPU_SHARE)? / 100.0,
        bus_share: table.take(&BUS_SHARE)? / 100.0,
    }))
}
