//! A receiver of slots: what is where, and what becomes of the light when packets stay away.

use super::super::key::{Key, Offer, key};
use super::super::problem::{SHOWN, shown};
use super::super::table::Table;
use super::super::value::{Kind, Number, Refusal, Text, Whole, from_to, whole};
use super::{BusFrame, Prepared, Problem};
use crate::description::Channel;
use toml::de::DeValue;

const SLOTS: &str = "slots";
const CREEP_MS: Key<Whole<u16>, u16> = key("creep_ms", whole(20, 2_000, "ms"), 750);
const LOSS_MS: Key<Whole<u16>, u16> = key("loss_ms", whole(1_000, 60_000, "ms"), 1_250);
const LOSS_FADE_S: Key<Number> = key("loss_fade_s", from_to(0.0, 6_000.0, "s"), ());
pub(super) const KEYS: [&str; 4] = [SLOTS, CREEP_MS.name, LOSS_MS.name, LOSS_FADE_S.name];

const SLOT: Key<Whole<u16>, Offer> = key("slot", whole(1, 512, ""), Offer("1"));
const BITS: Key<Bits, bool> = key("bits", Bits, false);
const ROLE: Key<Text, Offer> = key("role", ANY_ROLE, Offer("\"level\""));
const START: Key<Number, f64> = key("start_percent", from_to(0.0, 100.0, "%"), 0.0);
const LOSS: Key<Number, f64> = key("loss_percent", from_to(0.0, 100.0, "%"), 0.0);

const LEVEL: &str = "level";
const MIREK: &str = "mirek";
const X: &str = "x";
const Y: &str = "y";

const ANY_ROLE: Text = Text {
    longest: usize::MAX,
    fits: |_| true,
    allowed: "\"level\", \"mirek\", \"x\", \"y\", or the name of a channel",
};

/// 8 or 16 bits; whether it is 16.
struct Bits;

impl Kind for Bits {
    type Value = bool;

    fn read(&self, value: &DeValue<'_>) -> Result<bool, Refusal> {
        match whole::<u8>(8, 16, "").read(value)? {
            8 => Ok(false),
            16 => Ok(true),
            _ => Err(Refusal::Value),
        }
    }

    fn allowed(&self) -> String {
        "8, or 16 for a coarse slot and a fine one behind it".to_owned()
    }
}

/// A receiver of ANSI E1.11 packets.
#[derive(Clone, Debug, PartialEq)]
pub struct Receiver {
    /// What is where, 1 to 16.
    pub slots: Vec<Slot>,
    /// By how much a creeping slot of 8 bits is delayed, 20 to 2 000 ms, at most 31 packets. Default 750.
    pub creep_ms: u16,
    /// Time without a packet after which data are lost, 1 000 to 60 000 ms. Default 1 250.
    pub loss_ms: u16,
    /// In how many seconds the light then fades to the slots' values for that, to the nearest tenth; none holds the light. Default none.
    pub loss_fade_s: Option<f64>,
}

/// A slot, or two, and what they mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot {
    /// The first one, 1 to 512.
    pub slot: u16,
    /// Whether a fine slot follows: 16 bits. Default no.
    pub is_fine: bool,
    /// What for.
    pub role: SlotRole,
    /// The value before the first packet, as a fraction of full. Default 0.
    pub start: f64,
    /// The value that a loss fades to, likewise. Default 0.
    pub loss: f64,
}

/// What a slot is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlotRole {
    /// The Level of the luminaire.
    Level,
    /// The share of a channel, by its index.
    Channel(usize),
    /// Colour temperature, from the palette's coolest at 0 to its warmest at full.
    Mirek,
    /// Chromaticity x of CIE 1931, full for 1.
    X,
    /// Chromaticity y, likewise.
    Y,
}

pub(super) fn read(
    table: &Table<'_>,
    channels: &[Channel],
    palette: &[Prepared],
) -> Result<Receiver, Problem> {
    let line = "slots = [{ slot = 1, role = \"level\" }]";
    let tables = table.tables(SLOTS, 1..=16)?;
    let tables = tables.ok_or_else(|| table.missing(SLOTS, line).allowed("1 to 16 tables"))?;
    let mut slots: Vec<Slot> = Vec::with_capacity(tables.len());
    for entry in &tables {
        let slot = slot(entry, channels, palette)?;
        if slots.iter().any(|other| other.role == slot.role) {
            return Err(Problem::new("two slots for the same")
                .about(entry.path_of(ROLE.name))
                .at(entry.span_of(&ROLE))
                .allowed("each role once"));
        }
        slots.push(slot);
    }
    let has = |role: SlotRole| slots.iter().any(|slot| slot.role == role);
    if has(SlotRole::X) != has(SlotRole::Y) {
        return Err(Problem::new("half a chromaticity")
            .about(table.path_of(SLOTS))
            .at(table.value_span(SLOTS))
            .allowed("a slot of role \"x\" and one of role \"y\", or neither"));
    }
    Ok(Receiver {
        slots,
        creep_ms: table.take(&CREEP_MS)?,
        loss_ms: table.take(&LOSS_MS)?,
        loss_fade_s: table.find(&LOSS_FADE_S)?,
    })
}

fn slot(entry: &Table<'_>, channels: &[Channel], palette: &[Prepared]) -> Result<Slot, Problem> {
    entry.only(&[SLOT.name, BITS.name, ROLE.name, START.name, LOSS.name])?;
    let slot = Slot {
        slot: entry.need(&SLOT)?,
        is_fine: entry.take(&BITS)?,
        role: role(entry, channels, palette)?,
        start: entry.take(&START)? / 100.0,
        loss: entry.take(&LOSS)? / 100.0,
    };
    if slot.last() > 512 {
        return Err(Problem::new("the fine slot lies beyond the packet")
            .about(entry.path_of(SLOT.name))
            .at(entry.span_of(&SLOT))
            .allowed("1 to 511 for 16 bits"));
    }
    Ok(slot)
}

fn role(
    entry: &Table<'_>,
    channels: &[Channel],
    palette: &[Prepared],
) -> Result<SlotRole, Problem> {
    let name = entry.need(&ROLE)?;
    let refused = |problem: Problem| {
        problem
            .about(entry.path_of(ROLE.name))
            .at(entry.span_of(&ROLE))
    };
    match name.as_str() {
        LEVEL => Ok(SlotRole::Level),
        MIREK if palette.is_empty() => {
            let title = "a colour temperature needs recipes at colour temperatures";
            Err(refused(Problem::new(title)).allowed("\"mirek\" with `colours` in [bus]"))
        }
        MIREK => Ok(SlotRole::Mirek),
        X | Y if !(2..=3).contains(&channels.len()) => {
            let title = "a chromaticity is solved for two or three channels";
            Err(refused(Problem::new(title)).allowed("\"x\" and \"y\" with two or three channels"))
        }
        X => Ok(SlotRole::X),
        Y => Ok(SlotRole::Y),
        _ => {
            let found = channels.iter().position(|channel| channel.name == name);
            found.map(SlotRole::Channel).ok_or_else(|| {
                let names = channels.iter().map(|channel| channel.name.as_str());
                let names: Vec<&str> = [LEVEL, MIREK, X, Y].into_iter().chain(names).collect();
                let title = format!("no such role: `{}`", shown(&name, SHOWN));
                refused(Problem::new(title)).one_of(&name, &names)
            })
        }
    }
}

impl Slot {
    const fn last(self) -> u16 {
        self.slot + self.is_fine as u16
    }
}

/// A slot that no packet reaches is a mistake, if not of the luminaire then of the log.
pub(super) fn fit_packets(
    table: &Table<'_>,
    receiver: &Receiver,
    frames: &[BusFrame],
) -> Result<(), Problem> {
    let longest = frames.iter().map(|frame| frame.bytes.len()).max();
    let longest = longest.unwrap_or_default() - 1;
    let beyond = |slot: &&Slot| usize::from(slot.last()) > longest;
    match receiver.slots.iter().find(beyond) {
        None => Ok(()),
        Some(slot) => Err(
            Problem::new(format!("slot {} lies beyond every packet", slot.last()))
                .about(table.path_of(SLOTS))
                .at(table.value_span(SLOTS))
                .allowed(format!("slots of 1 to {longest}, as in the longest packet")),
        ),
    }
}
