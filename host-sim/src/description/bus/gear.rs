//! A control gear: where it is addressed, and what was stored in it.

use super::super::key::{Key, Offer, key};
use super::super::table::Table;
use super::super::value::{List, Number, Whole, from_to, whole};
use super::{Around, MIREK_RANGE, Prepared, Problem};
use crate::description::CurveChoice;
use milliglow::curve::ControlCurve;

const SHORT_ADDRESS: Key<Whole<u8>> = key("short_address", whole(0, 63, ""), ());
const GROUPS: Key<List<Whole<u8>>> = key("groups", GROUP_LIST, ());
const MINIMUM: Key<Whole<u8>, u8> = key("minimum", whole(1, 254, ""), 1);
const MAXIMUM: Key<Whole<u8>, u8> = key("maximum", whole(1, 254, ""), 254);
const POWER_ON: Key<Whole<u8>, u8> = key("power_on_level", whole(0, 255, ""), 254);
const SYSTEM_FAILURE: Key<Whole<u8>, u8> = key("system_failure_level", whole(0, 255, ""), 254);
const FADE_TIME: Key<Whole<u8>, u8> = key("fade_time", whole(0, 15, ""), 0);
const FADE_RATE: Key<Whole<u8>, u8> = key("fade_rate", whole(1, 15, ""), 7);
const EXTENDED: Key<Whole<u8>, u8> = key("extended_fade_time", whole(0, 79, ""), 0);
const SOFT_START: Key<Number, f64> = key("soft_start_s", from_to(0.0, 60.0, "s"), 0.5);
const SCENES: &str = "scenes";
const NUMBER: Key<Whole<u8>, Offer> = key("number", whole(0, 15, ""), Offer("0"));
const LEVEL: Key<Whole<u8>, Offer> = key("level", whole(0, 255, ""), Offer("254"));
const MIREK: Key<Whole<u16>> = key("mirek", MIREK_RANGE, ());
const X: Key<Number> = key("x", from_to(0.0, 1.0, ""), ());
const Y: Key<Number> = key("y", from_to(0.0, 1.0, ""), ());

pub(super) const KEYS: [&str; 11] = [
    SHORT_ADDRESS.name,
    GROUPS.name,
    MINIMUM.name,
    MAXIMUM.name,
    POWER_ON.name,
    SYSTEM_FAILURE.name,
    FADE_TIME.name,
    FADE_RATE.name,
    EXTENDED.name,
    SOFT_START.name,
    SCENES,
];

const GROUP_LIST: List<Whole<u8>> = List {
    each: whole(0, 15, ""),
    most: 16,
};

/// A control gear of IEC 62386-102 as it was set up.
#[derive(Clone, Debug, PartialEq)]
pub struct ControlGear {
    /// The luminaire's curve as the bus knows it.
    pub curve: ControlCurve,
    /// Short address, 0 to 63, if it has one.
    pub short_address: Option<u8>,
    /// The groups that it is in, 0 to 15.
    pub groups: Vec<u8>,
    /// Minimum level, 1 to 254; the physical minimum level where that is higher. Default 1.
    pub minimum: u8,
    /// Maximum level, 1 to 254. Default 254.
    pub maximum: u8,
    /// Level when the power comes; 255 for the last one. Default 254.
    pub power_on_level: u8,
    /// Level when the bus fails; 255 to stay. Default 254.
    pub system_failure_level: u8,
    /// Code of the fade time, 0 to 15. Default 0.
    pub fade_time: u8,
    /// Code of the fade rate, 1 to 15. Default 7.
    pub fade_rate: u8,
    /// Byte of the extended fade time, 0 to 79. Default 0.
    pub extended_fade_time: u8,
    /// How long the light takes to its power-on level, in s, to the nearest tenth, 0 to 60. Default 0.5.
    pub soft_start_s: f64,
    /// Scenes that were stored, numbers unique.
    pub scenes: Vec<GearScene>,
}

/// A scene of a control gear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearScene {
    /// Number, 0 to 15.
    pub number: u8,
    /// Control level, 0 to 254; 255 to stay.
    pub level: u8,
    /// Its colour, if it has one.
    pub colour: Option<SceneColour>,
}

/// The colour of a scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SceneColour {
    /// Colour temperature, 1 to 65 534 mirek.
    Mirek(u16),
    /// Chromaticity x and y (CIE 1931), 0 to 1.
    Chromaticity([f64; 2]),
}

pub(super) fn read(
    table: &Table<'_>,
    around: &Around<'_>,
    palette: &[Prepared],
) -> Result<ControlGear, Problem> {
    Ok(ControlGear {
        curve: control_curve(table, around.curve)?,
        short_address: table.find(&SHORT_ADDRESS)?,
        groups: table.find(&GROUPS)?.unwrap_or_default(),
        minimum: table.take(&MINIMUM)?,
        maximum: table.take(&MAXIMUM)?,
        power_on_level: table.take(&POWER_ON)?,
        system_failure_level: table.take(&SYSTEM_FAILURE)?,
        fade_time: table.take(&FADE_TIME)?,
        fade_rate: table.take(&FADE_RATE)?,
        extended_fade_time: table.take(&EXTENDED)?,
        soft_start_s: table.take(&SOFT_START)?,
        scenes: scenes(table, around.channels.len(), palette)?,
    })
}

/// The bus fades over its own curve: the luminaire's must be that one.
fn control_curve(table: &Table<'_>, curve: CurveChoice) -> Result<ControlCurve, Problem> {
    match curve {
        CurveChoice::Linear => Ok(ControlCurve::Linear),
        CurveChoice::Exponential {
            depth: 1_000,
            tail_levels: 8,
        } => Ok(ControlCurve::Logarithmic),
        _ => Err(
            Problem::new("`[curve]` is not one of the curves of IEC 62386")
                .about(table.path().to_owned())
                .at(table.span.clone())
                .allowed(
                    "an exponential curve with depth = 1_000 and tail_levels = 8, or a linear one",
                ),
        ),
    }
}

fn scenes(
    table: &Table<'_>,
    channels: usize,
    palette: &[Prepared],
) -> Result<Vec<GearScene>, Problem> {
    let tables = table.tables(SCENES, 0..=16)?.unwrap_or_default();
    let mut scenes: Vec<GearScene> = Vec::with_capacity(tables.len());
    for entry in &tables {
        entry.only(&[NUMBER.name, LEVEL.name, MIREK.name, X.name, Y.name])?;
        let scene = GearScene {
            number: entry.need(&NUMBER)?,
            level: entry.need(&LEVEL)?,
            colour: colour(entry, channels, palette)?,
        };
        if scenes.iter().any(|other| other.number == scene.number) {
            return Err(Problem::new(format!("two scenes {}", scene.number))
                .about(entry.path_of(NUMBER.name))
                .at(entry.span_of(&NUMBER))
                .allowed("a number of its own for each scene"));
        }
        scenes.push(scene);
    }
    Ok(scenes)
}

/// One that the luminaire makes: by prepared recipes, or solved for two channels, or for two or three where it is a chromaticity.
fn colour(
    entry: &Table<'_>,
    channels: usize,
    palette: &[Prepared],
) -> Result<Option<SceneColour>, Problem> {
    let refused = |title: &str, name: &str, allowed: &str| {
        let problem = Problem::new(title).about(entry.path_of(name));
        Err(problem.at(entry.value_span(name)).allowed(allowed))
    };
    match (entry.find(&MIREK)?, entry.find(&X)?, entry.find(&Y)?) {
        (None, None, None) => Ok(None),
        (Some(_), None, None) if palette.is_empty() && channels != 2 => refused(
            "a colour temperature needs recipes at colour temperatures",
            MIREK.name,
            "`mirek` with `colours` in [bus], or with two channels",
        ),
        (Some(mirek), None, None) => Ok(Some(SceneColour::Mirek(mirek))),
        (Some(_), ..) => refused("two colours", MIREK.name, "`mirek`, or `x` and `y`"),
        (None, Some(_), Some(_)) if !(2..=3).contains(&channels) => refused(
            "a chromaticity is solved for two or three channels",
            X.name,
            "`x` and `y` with two or three channels",
        ),
        (None, Some(x), Some(y)) => Ok(Some(SceneColour::Chromaticity([x, y]))),
        (None, Some(_), None) => refused("half a chromaticity", X.name, "`x` and `y`, or neither"),
        (None, None, Some(_)) => refused("half a chromaticity", Y.name, "`x` and `y`, or neither"),
    }
}
