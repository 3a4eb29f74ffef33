//! A log of a bus: a line a frame, time in s and its bytes in hexadecimal, `#` for remarks.

use super::super::key::Key;
use super::super::problem::{SHOWN, shown};
use super::super::table::Table;
use super::super::value::Text;
use super::{BusFrame, LONGEST_S, Problem, Standard};
use data_encoding::HEXLOWER_PERMISSIVE;
use std::fs::File;
use std::io::Read;
use std::ops::{Range, RangeInclusive};
use std::path::Path;
use toml::Spanned;
use toml::de::DeValue;

/// More than a packet of every slot, 44 times a second, for a minute.
const LARGEST: u64 = 16 << 20;
const LINE: &str = "a line such as `1.250, FE80`: time in s, a comma, bytes in hexadecimal, or `down` in their place";

/// What stands in the place of bytes when the bus loses its power.
const DOWN: &str = "down";

/// What is wrong with a line, and what is allowed.
type Refused = (String, String);

/// Reads the file that the luminaire's file names, beside it.
pub(super) fn read_file(
    table: &Table<'_>,
    key: &Key<Text>,
    name: &str,
    origin: &str,
    standard: Standard,
) -> Result<Vec<BusFrame>, Problem> {
    let path = Path::new(origin).with_file_name(name);
    let problem = |title: String| {
        Problem::new(title)
            .about(table.path_of(key.name))
            .at(table.span_of(key))
            .allowed("a text file of at most 16 MiB beside this one")
    };
    let mut bytes = Vec::new();
    File::open(&path)
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(|error| problem(format!("cannot read the log {}: {error}", path.display())))?;
    if bytes.len() as u64 > LARGEST {
        return Err(problem(format!("the log {} is too large", path.display())));
    }
    let text = String::from_utf8(bytes)
        .map_err(|_| problem(format!("the log {} is not UTF-8 text", path.display())))?;
    of_text(&text, standard).map_err(|(span, (title, allowed))| {
        Problem::new(title)
            .at(span)
            .allowed(allowed)
            .seen_in(&path.display().to_string(), &text)
    })
}

/// Reads the lines that stand in the luminaire's file.
pub(super) fn read_lines(
    table: &Table<'_>,
    name: &str,
    lines: &[Spanned<DeValue<'_>>],
    standard: Standard,
) -> Result<Vec<BusFrame>, Problem> {
    let refused = |span: Range<usize>, (title, allowed): Refused| {
        let problem = Problem::new(title).about(table.path_of(name)).at(span);
        problem.allowed(allowed)
    };
    if lines.is_empty() {
        let span = table.value_span(name);
        return Err(refused(span, ("no frames".to_owned(), LINE.to_owned())));
    }
    let mut frames: Vec<BusFrame> = Vec::with_capacity(lines.len());
    for line in lines {
        let text = line.get_ref().as_str().ok_or_else(|| {
            let title = "a frame is a string".to_owned();
            refused(line.span(), (title, LINE.to_owned()))
        })?;
        let read = frame(text, standard, frames.last());
        frames.push(read.map_err(|wrong| refused(line.span(), wrong))?);
    }
    Ok(frames)
}

fn of_text(text: &str, standard: Standard) -> Result<Vec<BusFrame>, (Range<usize>, Refused)> {
    let mut frames: Vec<BusFrame> = Vec::new();
    let mut begin = 0;
    for whole in text.split_inclusive('\n') {
        let line = whole.trim_end_matches(['\n', '\r']);
        let span = begin..begin + line.len();
        begin += whole.len();
        if line.trim().is_empty() || line.trim_start().starts_with('#') {
            continue;
        }
        if !whole.ends_with('\n') {
            let title = "the last line has no end: the log is truncated".to_owned();
            return Err((span, (title, "a line break after each line".to_owned())));
        }
        frames.push(frame(line, standard, frames.last()).map_err(|wrong| (span, wrong))?);
    }
    if frames.is_empty() {
        let title = "the log has no frames".to_owned();
        return Err((0..text.len().min(1), (title, LINE.to_owned())));
    }
    Ok(frames)
}

fn frame(line: &str, standard: Standard, before: Option<&BusFrame>) -> Result<BusFrame, Refused> {
    let (time, bytes) = line.split_once(',').ok_or_else(|| {
        let title = format!("no frame: `{}`", shown(line.trim(), SHOWN));
        (title, LINE.to_owned())
    })?;
    let at_us = at_us(time.trim())?;
    if let Some(before) = before
        && at_us < before.at_us
    {
        let title = format!("the time goes back to {} s", time.trim());
        let last = before.at_us as f64 / 1e6;
        return Err((title, format!("{last} s or later, as the line before")));
    }
    let bytes = bytes_of(bytes.trim(), standard)?;
    Ok(BusFrame { at_us, bytes })
}

/// Digits and perhaps a point: no sign, no exponent, no infinity.
fn at_us(text: &str) -> Result<u64, Refused> {
    let is_plain = text.starts_with(|c: char| c.is_ascii_digit())
        && text.chars().all(|c| c.is_ascii_digit() || c == '.');
    let seconds: Option<f64> = text.parse().ok().filter(|_| is_plain);
    match seconds {
        Some(seconds) if seconds <= LONGEST_S => Ok((seconds * 1e6).round() as u64),
        Some(_) => Err((
            format!("the log is too long: {} s", shown(text, SHOWN)),
            format!("times of 0 to {LONGEST_S} s"),
        )),
        None => Err((
            format!("no time: `{}`", shown(text, SHOWN)),
            format!("a number of seconds, 0 to {LONGEST_S}"),
        )),
    }
}

fn bytes_of(text: &str, standard: Standard) -> Result<Vec<u8>, Refused> {
    let (lengths, allowed): (RangeInclusive<usize>, _) = match standard {
        Standard::Iec62386 if text == DOWN => return Ok(Vec::new()),
        Standard::Iec62386 => (2..=2, "2 bytes, such as `FE80`, or `down`"),
        Standard::Dmx512 => (1..=513, "1 to 513 bytes: a START code and up to 512 slots"),
    };
    let digits: Vec<u8> = text
        .bytes()
        .filter(|byte| !byte.is_ascii_whitespace())
        .collect();
    let bytes = HEXLOWER_PERMISSIVE.decode(&digits).map_err(|_| {
        let title = format!("no bytes in hexadecimal: `{}`", shown(text, SHOWN));
        (title, allowed.to_owned())
    })?;
    if lengths.contains(&bytes.len()) {
        return Ok(bytes);
    }
    let title = format!("a frame of {} bytes", bytes.len());
    Err((title, allowed.to_owned()))
}
