//! `[bus]`: frames or packets that drive the luminaire in place of a script.

mod gear;
mod log;
mod receiver;

pub use gear::{ControlGear, GearScene, SceneColour};
pub use receiver::{Receiver, Slot, SlotRole};

use super::key::{Key, Offer, key};
use super::problem::{SHOWN, shown};
use super::script::{ANY_TEXT, named_recipe};
use super::table::Table;
use super::value::{Number, Text, Whole, Word, above_to, whole};
use super::{Channel, CurveChoice, Problem, Recipe};

pub(super) const NAME: &str = "bus";

/// Longest time that a bus is followed, in s: a console's fade of ten minutes, twice.
const LONGEST_S: f64 = 1_200.0;
/// How long the light is followed after the last frame, unless `seconds` says it.
const AFTER_S: f64 = 3.0;

const KIND: Key<Word<Standard>, Offer> = key(
    "kind",
    Word(&[
        ("iec62386", Standard::Iec62386),
        ("dmx512", Standard::Dmx512),
    ]),
    Offer("\"iec62386\""),
);
const LOG: Key<Text> = key("log", FILE, ());
const FRAMES: &str = "frames";
const SECONDS: Key<Number> = key("seconds", above_to(0.0, LONGEST_S, "s"), ());
const RECIPE: Key<Text> = key("recipe", ANY_TEXT, ());
const DEAD_TIME_MS: Key<Number, f64> = key("dead_time_ms", above_to(0.0, 10_000.0, "ms"), 100.0);
const COLOURS: &str = "colours";
const MIREK: Key<Whole<u16>, Offer> = key("mirek", MIREK_RANGE, Offer("250"));
const COLOUR_RECIPE: Key<Text, Offer> = key("recipe", ANY_TEXT, Offer("\"full\""));
const COMMON: [&str; 7] = [
    KIND.name,
    LOG.name,
    FRAMES,
    SECONDS.name,
    RECIPE.name,
    DEAD_TIME_MS.name,
    COLOURS,
];

/// Colour temperatures that a bus can ask for.
const MIREK_RANGE: Whole<u16> = whole(1, 65_534, "mirek");

const FILE: Text = Text {
    longest: 1_000,
    fits: |text| !text.is_empty() && !text.contains(char::is_control),
    allowed: "the name of a file beside this one, 1 to 1_000 characters",
};

/// Which standard a bus follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Standard {
    Iec62386,
    Dmx512,
}

/// A luminaire on a bus.
#[derive(Clone, Debug, PartialEq)]
pub struct Bus {
    /// The file of the log as the luminaire's file names it; none where the frames stand there themselves.
    pub log: Option<String>,
    /// What came, in the order of time.
    pub frames: Vec<BusFrame>,
    /// How long the light is followed, above 0 to 1 200 s. Default 3 s more than the last frame.
    pub seconds: f64,
    /// Index of the recipe until a colour comes. Default the first.
    pub recipe: usize,
    /// Recipes at colour temperatures, the coolest first, up to 16.
    pub palette: Vec<Prepared>,
    /// Longest time from a frame to the light that it asks for, in s, above 0 to 10. Default 0.1, our choice.
    pub dead_time_s: f64,
    /// What listens.
    pub kind: BusKind,
}

/// What listens to a bus.
#[derive(Clone, Debug, PartialEq)]
pub enum BusKind {
    /// A control gear of IEC 62386-102.
    Iec62386(ControlGear),
    /// A receiver of ANSI E1.11.
    Dmx512(Receiver),
}

/// A recipe for a colour temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Prepared {
    /// In mirek, 1 to 65 534.
    pub mirek: u16,
    /// Index of the recipe.
    pub recipe: usize,
}

/// What came at a time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BusFrame {
    /// Microseconds since the start.
    pub at_us: u64,
    /// Its bytes; none when the bus lost its power.
    pub bytes: Vec<u8>,
}

/// What other parts of the file say, as far as a bus must fit them.
pub(super) struct Around<'a> {
    pub(super) origin: &'a str,
    pub(super) curve: CurveChoice,
    pub(super) control_hz: u32,
    pub(super) channels: &'a [Channel],
    pub(super) recipes: &'a [Recipe],
    pub(super) has_script: bool,
}

pub(super) fn read(root: &Table<'_>, around: &Around<'_>) -> Result<Option<Bus>, Problem> {
    let Some(table) = root.table(NAME)? else {
        return Ok(None);
    };
    let standard = table.need(&KIND)?;
    table.only(&match standard {
        Standard::Iec62386 => [&COMMON[..], &gear::KEYS].concat(),
        Standard::Dmx512 => [&COMMON[..], &receiver::KEYS].concat(),
    })?;
    fit(&table, around)?;
    let palette = palette(&table, around.recipes)?;
    let kind = match standard {
        Standard::Iec62386 => BusKind::Iec62386(gear::read(&table, around, &palette)?),
        Standard::Dmx512 => BusKind::Dmx512(receiver::read(&table, around.channels, &palette)?),
    };
    let frames = frames(&table, around.origin, standard)?;
    if let BusKind::Dmx512(receiver) = &kind {
        receiver::fit_packets(&table, receiver, &frames)?;
    }
    let last_s = frames.last().map_or(0.0, |frame| frame.at_us as f64 / 1e6);
    Ok(Some(Bus {
        log: table.find(&LOG)?,
        frames,
        seconds: table.find(&SECONDS)?.unwrap_or(last_s + AFTER_S),
        recipe: match table.find(&RECIPE)? {
            Some(name) => named_recipe(&table, &RECIPE, &name, around.recipes)?,
            None => 0,
        },
        palette,
        dead_time_s: table.take(&DEAD_TIME_MS)? / 1e3,
        kind,
    }))
}

/// A bus takes the place of a script, and the core keeps its time at 100 Hz to 10 kHz.
fn fit(table: &Table<'_>, around: &Around<'_>) -> Result<(), Problem> {
    let problem = |title| {
        Problem::new(title)
            .about(table.path().to_owned())
            .at(table.span.clone())
    };
    if around.has_script {
        return Err(problem("`[bus]` and `[[script]]` exclude each other")
            .allowed("one of them: what moves the light"));
    }
    if !(100..=10_000).contains(&around.control_hz) {
        return Err(problem("`control_hz` does not suit a bus").allowed("100 to 10_000 Hz"));
    }
    Ok(())
}

fn frames(table: &Table<'_>, origin: &str, standard: Standard) -> Result<Vec<BusFrame>, Problem> {
    match (table.find(&LOG)?, table.array_of(FRAMES)) {
        (Some(_), Some(_)) => Err(Problem::new("`log` and `frames` exclude each other")
            .about(table.path_of(LOG.name))
            .at(table.span_of(&LOG))
            .allowed("one of `log` and `frames`")),
        (Some(name), None) => log::read_file(table, &LOG, &name, origin, standard),
        (None, Some(lines)) => log::read_lines(table, FRAMES, lines, standard),
        (None, None) => Err(table
            .missing(LOG.name, "log = \"my-luminaire.log\"")
            .allowed("`log`, a file beside this one, or `frames`, its lines")),
    }
}

/// The coolest first, in whatever order they are written.
fn palette(table: &Table<'_>, recipes: &[Recipe]) -> Result<Vec<Prepared>, Problem> {
    let tables = table.tables(COLOURS, 0..=16)?.unwrap_or_default();
    let mut palette: Vec<Prepared> = Vec::with_capacity(tables.len());
    for entry in &tables {
        entry.only(&[MIREK.name, COLOUR_RECIPE.name])?;
        let mirek = entry.need(&MIREK)?;
        let name = entry.need(&COLOUR_RECIPE)?;
        let found = named_recipe(entry, &COLOUR_RECIPE, &name, recipes)?;
        let refused = |title: String, allowed: &str| {
            let problem = Problem::new(title).about(entry.path().to_owned());
            Err(problem.at(entry.span.clone()).allowed(allowed))
        };
        if palette.iter().any(|other| other.mirek == mirek) {
            let allowed = "each colour at a temperature of its own";
            return refused(format!("two colours at {mirek} mirek"), allowed);
        }
        if recipes[found].follows_level() {
            let title = format!("recipe `{}` follows the Level", shown(&name, SHOWN));
            return refused(title, "a recipe that is the same at every Level");
        }
        palette.push(Prepared {
            mirek,
            recipe: found,
        });
    }
    palette.sort_by_key(|prepared| prepared.mirek);
    Ok(palette)
}
