//! `[[cameras]]`: rolling shutters that should not show bands.

use super::key::{Key, Offer, key};
use super::table::Table;
use super::value::{Number, Numbers, Text, Whole, above_to, from_to, whole};
use super::{Camera, Problem};

pub(super) const NAME: &str = "cameras";

const CAMERA_NAME: Key<Text, Offer> = key("name", TITLE, Offer("\"phone\""));
const FRAME_HZ: Key<Number, Offer> = key("frame_hz", from_to(1.0, 1_000.0, "Hz"), Offer("30.0"));
const ROWS: Key<Whole, Offer> = key("rows", whole(1, 10_000, ""), Offer("1080"));
const LINE_US: Key<Number, Offer> = key("line_us", from_to(0.1, 10_000.0, "us"), Offer("25.0"));
const EXPOSURE_S: Key<Number, Offer> = key("exposure_s", from_to(1e-6, 10.0, "s"), Offer("0.01"));
const LIGHTS: Key<Numbers, Offer> = key("lights_percent", PERCENTS, Offer("[100.0]"));
const CONTRAST: Key<Number, f64> = key("contrast_percent", above_to(0.0, 100.0, "%"), 2.0);

const PERCENTS: Numbers = Numbers {
    each: from_to(0.001, 100.0, "%"),
    most: 16,
};

const TITLE: Text = Text {
    longest: 60,
    fits: |text| !text.is_empty() && !text.contains(char::is_control),
    allowed: "1 to 60 characters, none of them a control character",
};

const KEYS: [&str; 7] = [
    CAMERA_NAME.name,
    FRAME_HZ.name,
    ROWS.name,
    LINE_US.name,
    EXPOSURE_S.name,
    LIGHTS.name,
    CONTRAST.name,
];

pub(super) fn read(root: &Table<'_>) -> Result<Vec<Camera>, Problem> {
    let tables = root.tables(NAME, 0..=8)?.unwrap_or_default();
    let mut cameras: Vec<Camera> = Vec::with_capacity(tables.len());
    for table in &tables {
        let camera = camera(table)?;
        if cameras.iter().any(|other| other.name == camera.name) {
            return Err(
                Problem::new(format!("two cameras are called `{}`", camera.name))
                    .about(table.path_of(CAMERA_NAME.name))
                    .at(table.span_of(&CAMERA_NAME))
                    .allowed("a name of its own for each camera"),
            );
        }
        cameras.push(camera);
    }
    Ok(cameras)
}

fn camera(table: &Table<'_>) -> Result<Camera, Problem> {
    table.only(&KEYS)?;
    Ok(Camera {
        name: table.need(&CAMERA_NAME)?,
        frame_hz: table.need(&FRAME_HZ)?,
        rows: table.need(&ROWS)?,
        line_s: table.need(&LINE_US)? / 1e6,
        exposure_s: table.need(&EXPOSURE_S)?,
        lights: table
            .need(&LIGHTS)?
            .into_iter()
            .map(|percent| percent / 100.0)
            .collect(),
        contrast: table.take(&CONTRAST)? / 100.0,
    })
}
