//! The top of the file: the luminaire as a whole, and the order in which its tables are read.

use super::key::{Key, Offer, key};
use super::table::Table;
use super::value::{Number, Text, Whole, above_to, from_to, whole};
use super::{
    Description, Problem, analog, board, bus, cameras, channels, chip, curve, explore, hardware,
    modulation, operating, recipes, requirements, script, spread, supply,
};
use crate::numbers::grouped;
use toml::Spanned;
use toml::de::DeTable;

const SCHEMA: Key<Whole, Offer> = key("schema", whole(1, 1, ""), Offer("1"));
const NAME: Key<Text, Offer> = key("name", TITLE, Offer("\"my light\""));
const NOTE: Key<Text> = key("note", REMARK, ());
const TICK_HZ: Key<Whole, Offer> = key(
    "tick_hz",
    whole(1_000, 100_000_000, "Hz"),
    Offer("3_000_000"),
);
const TICK_TOLERANCE: Key<Number, f64> =
    key("tick_tolerance_percent", from_to(0.0, 20.0, "%"), 1.0);
const CONTROL_HZ: Key<Whole, Offer> = key("control_hz", whole(10, 100_000, "Hz"), Offer("1_000"));
const FULL_OUTPUT: Key<Number, Offer> = key(
    "full_output_cd_m2",
    above_to(0.0, 1e6, "cd/m2"),
    Offer("400.0"),
);
const SEED: Key<Whole, u32> = key("seed", whole(1, u32::MAX, ""), 1);

const TITLE: Text = Text {
    longest: 60,
    fits: fits_title,
    allowed: "1 to 60 characters, none of them a control character, / or \\, the first not a dot",
};

const REMARK: Text = Text {
    longest: 1_000,
    fits: |text| !text.contains(|c: char| c.is_control() && c != '\n' && c != '\t'),
    allowed: "at most 1_000 characters, without control characters other than line breaks and tabs",
};

/// Ticks in a word of the stream: densities change between words, so a control step takes at least one.
const WORD_TICKS: u32 = 32;

const KEYS: [&str; 25] = [
    SCHEMA.name,
    NAME.name,
    NOTE.name,
    TICK_HZ.name,
    TICK_TOLERANCE.name,
    CONTROL_HZ.name,
    FULL_OUTPUT.name,
    SEED.name,
    curve::NAME,
    modulation::NAME,
    operating::NAME,
    channels::NAME,
    board::NAME,
    recipes::NAME,
    script::NAME,
    script::LOOPS.name,
    bus::NAME,
    cameras::NAME,
    supply::NAME,
    chip::NAME,
    hardware::NAME,
    explore::NAME,
    spread::NAME,
    analog::NAME,
    requirements::NAME,
];

/// Reads the whole document.
pub(super) fn read(document: &Spanned<DeTable<'_>>, origin: &str) -> Result<Description, Problem> {
    let root = Table::root(document);
    // Before any other key: a later schema has keys that this one does not know.
    root.need(&SCHEMA)?;
    root.only(&KEYS)?;
    let name = root.need(&NAME)?;
    let note = root.find(&NOTE)?;
    let tick_hz = root.need(&TICK_HZ)?;
    let tick_tolerance = root.take(&TICK_TOLERANCE)? / 100.0;
    let control_hz = control_hz(&root, tick_hz)?;
    let full_output_cd_m2 = root.need(&FULL_OUTPUT)?;
    let seed = root.take(&SEED)?;
    let curve = curve::read(&root)?;
    let (operating, rows) = operating::read_common(&root)?;
    let channels = channels::read(&root, &rows)?;
    operating::fit_together(&root, &operating, &channels)?;
    operating::fit_settling(&root, &operating, tick_hz)?;
    operating::fit_drivers(&root, tick_hz, &channels)?;
    let board = board::read(&root, &channels)?;
    let recipes = recipes::read(&root, &channels, curve)?;
    let beside = script::Beside {
        channels: &channels,
        recipes: &recipes,
        control_hz,
    };
    let script = script::read(&root, &beside)?;
    let script_loops = script::loops(&root, &script)?;
    let around = bus::Around {
        origin,
        curve,
        control_hz,
        channels: &channels,
        recipes: &recipes,
        has_script: !script.is_empty(),
    };
    let bus = bus::read(&root, &around)?;
    let cameras = cameras::read(&root)?;
    let supply = supply::read(&root)?;
    let chip = chip::read(&root)?;
    let hardware = hardware::read(&root, tick_hz)?;
    let explore = explore::read(&root)?;
    let spread = spread::read(&root)?;
    let analog = analog::read(&root)?;
    let requirements = requirements::read(&root)?;
    Ok(Description {
        name,
        note,
        tick_hz,
        tick_tolerance,
        control_hz,
        full_output_cd_m2,
        seed,
        curve,
        channels,
        board,
        recipes,
        script,
        script_loops,
        bus,
        cameras,
        supply,
        chip,
        hardware,
        operating,
        explore,
        spread,
        analog,
        requirements,
    })
}

fn control_hz(root: &Table<'_>, tick_hz: u32) -> Result<u32, Problem> {
    let control_hz = root.need(&CONTROL_HZ)?;
    let highest = tick_hz / WORD_TICKS;
    if control_hz > highest {
        let (highest, tick_hz) = (grouped(highest.into()), grouped(tick_hz.into()));
        return Err(Problem::new("`control_hz` is too high for `tick_hz`")
            .about(root.path_of(CONTROL_HZ.name))
            .at(root.span_of(&CONTROL_HZ))
            .allowed(format!(
                "at most {highest} Hz, tick_hz = {tick_hz} over {WORD_TICKS}"
            )));
    }
    Ok(control_hz)
}

fn fits_title(text: &str) -> bool {
    let taken = |c: char| c.is_control() || c == '/' || c == '\\';
    !text.is_empty() && !text.starts_with('.') && !text.contains(taken)
}
