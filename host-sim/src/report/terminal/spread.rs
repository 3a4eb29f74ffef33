//! What most units of a series hold, in a few lines.

use super::columns::paragraph;
use super::comparison::short_percent;
use super::plain::plain;
use crate::check::spread::{Deviation, PART, SpreadFigures, SpreadRow};
use crate::numbers::{percent, significant};

/// The worst recipe at each test light, and the worst change of row.
#[must_use]
pub fn spread_table(figures: &SpreadFigures, width: usize) -> String {
    let width = width.clamp(*super::WIDTHS.start(), *super::WIDTHS.end());
    let words = format!(
        "spread: what {} of {} units hold, with the design's values in the firmware, and with each unit's own",
        percent(PART),
        figures.units
    );
    let mut text = "\n".to_owned() + &paragraph(&words, "", width);
    text += &plain(&lights(figures), width);
    if let Some(rows) = changes(figures) {
        text += &plain(&rows, width);
    }
    text
}

fn headings(words: [&str; 7]) -> Vec<String> {
    words.map(str::to_owned).to_vec()
}

/// A figure with design values and with own ones.
fn pair(row: &SpreadRow, of: fn(&Deviation) -> f64) -> [f64; 2] {
    [of(&row.design), of(&row.own)]
}

fn worst<'a>(rows: &[&'a SpreadRow], of: fn(&Deviation) -> f64) -> [f64; 2] {
    let pairs = rows.iter().map(|row| pair(row, of));
    pairs.fold([0.0, 0.0], |a, b| [a[0].max(b[0]), a[1].max(b[1])])
}

fn lights(figures: &SpreadFigures) -> Vec<Vec<String>> {
    let held: Vec<_> = figures
        .rows
        .iter()
        .filter(|row| row.change.is_none())
        .collect();
    let first = held.first().map_or(0, |row| row.recipe);
    let recipe = held.iter().take_while(|row| row.recipe == first).count();
    let mut rows = vec![headings([
        "light",
        "off curve",
        "own",
        "flux off",
        "own",
        "u'v' off",
        "own",
    ])];
    for place in 0..recipe {
        let all: Vec<_> = held.iter().skip(place).step_by(recipe).copied().collect();
        let light = worst(&all, |figure| figure.light).map(short_percent);
        let flux = worst(&all, |figure| figure.flux).map(short_percent);
        let colour = worst(&all, |figure| figure.colour).map(|uv| significant(uv, 2));
        let cells = [light, flux, colour].concat();
        rows.push([vec![percent(rounded(all[0].light))], cells].concat());
    }
    rows
}

/// A Level is a little below the light that it stands for.
fn rounded(light: f64) -> f64 {
    significant(light, 3).parse().unwrap_or(light)
}

fn changes(figures: &SpreadFigures) -> Option<Vec<Vec<String>>> {
    let all: Vec<_> = figures
        .rows
        .iter()
        .filter(|row| row.change.is_some())
        .collect();
    if all.is_empty() {
        return None;
    }
    let light = worst(&all, |figure| figure.light_step).map(short_percent);
    let colour = worst(&all, |figure| figure.colour_step).map(|uv| significant(uv, 2));
    let words = ["changes of row", "light step", "own", "u'v' step", "own"];
    Some(vec![
        words.map(str::to_owned).to_vec(),
        [vec![all.len().to_string()], light.to_vec(), colour.to_vec()].concat(),
    ])
}
