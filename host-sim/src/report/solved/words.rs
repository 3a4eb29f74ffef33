//! Solved recipes for the terminal.

use textwrap::core::display_width;

use super::{Kind, Recipes, Row, Ways};
use crate::colour::{N_STEP, NominalWhite, White};
use crate::numbers::significant;
use crate::report::WIDTHS;
use crate::report::terminal::paragraph;

const GAP: &str = "  ";
/// What stands where there is nothing to say.
const NONE: &str = "-";

/// One colour: a line a channel, then what they give together. Several: a line a recipe. Sentences are `width` columns wide, taken
/// into [`WIDTHS`].
#[must_use]
pub fn words(recipes: &Recipes, width: usize) -> String {
    let width = width.clamp(*WIDTHS.start(), *WIDTHS.end());
    match (recipes.kind, &recipes.rows[..]) {
        (Kind::One, [row]) => by_channel(recipes, row) + "\n" + &colour(row, width),
        (Kind::Way(ways), _) => by_recipe(recipes) + "\n" + &worst(ways) + &notes(recipes, width),
        _ => by_recipe(recipes) + &notes(recipes, width),
    }
}

fn by_channel(recipes: &Recipes, row: &Row) -> String {
    let solved = &row.solved;
    let mut lines = vec![["channel", "share", "flux lm", "power W"].map(str::to_owned)];
    for (channel, share) in recipes.primaries.channels().iter().zip(&solved.shares) {
        let power_w = channel.power_w.map(|power_w| power_w * share);
        let flux_lm = channel.flux_lm * share;
        lines.push([
            channel.name.clone(),
            share_text(*share),
            number(flux_lm),
            or_none(power_w),
        ]);
    }
    let (flux_lm, power_w) = (number(solved.flux_lm), or_none(solved.power_w));
    lines.push(["together".to_owned(), String::new(), flux_lm, power_w]);
    columns(&lines)
}

fn colour(row: &Row, width: usize) -> String {
    let (solved, uv) = (&row.solved, row.solved.light.to_uv());
    let mut text = format!(
        "x {:.5}, y {:.5} (u' {:.5}, v' {:.5})\n",
        solved.light.x, solved.light.y, uv.u, uv.v
    );
    text += &solved
        .white
        .map_or("no white: no CCT\n".to_owned(), |white| {
            let nominal = NominalWhite::around(solved.light);
            let nominal = nominal.map(|nominal| format!(", within ANSI C78.377 {}", nominal.name));
            format!("{}{}\n", white_text(white), nominal.unwrap_or_default())
        });
    if !solved.in_gamut {
        text += &paragraph(&unreached(row), "", width);
    }
    text + &format!(
        "most flux at this colour: {} lm\n",
        number(solved.reachable_lm)
    )
}

fn unreached(row: &Row) -> String {
    let (asked, distance) = (row.solved.asked, row.solved.distance);
    format!(
        "not reached: {} (x {:.5}, y {:.5}) is outside the gamut; this is the nearest colour, {} in u'v' away ({} n-steps)",
        row.name,
        asked.x,
        asked.y,
        significant(distance, 4),
        significant(distance / N_STEP, 3),
    )
}

fn by_recipe(recipes: &Recipes) -> String {
    let has_levels = recipes.rows.iter().any(|row| row.level.is_some());
    let mut headings = vec!["recipe".to_owned()];
    if has_levels {
        headings.extend(["Level", "light %"].map(str::to_owned));
    }
    let channels = recipes.primaries.channels();
    headings.extend(channels.iter().map(|channel| channel.name.clone()));
    headings.extend(["flux lm", "power W", "CCT K", "Duv"].map(str::to_owned));
    let mut lines = vec![headings];
    lines.extend(recipes.rows.iter().map(cells));
    columns(&lines)
}

fn cells(row: &Row) -> Vec<String> {
    let solved = &row.solved;
    let mark = if solved.in_gamut { "" } else { " *" };
    let mut cells = vec![format!("{}{mark}", row.name)];
    if let Some((level, light)) = row.level {
        cells.extend([level.to_string(), number(light * 100.0)]);
    }
    cells.extend(solved.shares.iter().map(|share| share_text(*share)));
    let cct = solved.white.map(|white| format!("{:.0}", white.cct_k));
    let duv = solved.white.map(|white| duv_text(white.duv));
    let none = || NONE.to_owned();
    cells.extend([number(solved.flux_lm), or_none(solved.power_w)]);
    cells.extend([cct.unwrap_or_else(none), duv.unwrap_or_else(none)]);
    cells
}

fn notes(recipes: &Recipes, width: usize) -> String {
    let unreached = recipes.rows.iter().filter(|row| !row.solved.in_gamut);
    let far = unreached.map(|row| row.solved.distance).reduce(f64::max);
    far.map_or(String::new(), |far| {
        let words = format!(
            "* outside the gamut: the nearest colour, at most {} in u'v' away ({} n-steps)",
            significant(far, 4),
            significant(far / N_STEP, 3)
        );
        paragraph(&words, "", width)
    })
}

fn worst(ways: Ways) -> String {
    let text = |white: Option<White>| {
        white.map_or("through colours that are no white".to_owned(), white_text)
    };
    format!(
        "farthest from the Planckian locus on the way\n  straight from first to last: {}\n  along these recipes: {}\n",
        text(ways.straight),
        text(ways.along)
    )
}

fn white_text(white: White) -> String {
    format!("CCT {:.0} K, Duv {}", white.cct_k, duv_text(white.duv))
}

/// A Duv so small that it would be shown as zero has no sign.
fn duv_text(duv: f64) -> String {
    let rounded = (duv * 1e5).round() / 1e5;
    format!("{:+.5}", if rounded == 0.0 { 0.0 } else { rounded })
}

/// Five decimals, and for less four significant digits.
fn share_text(share: f64) -> String {
    if share > 0.0 && share < 1e-3 {
        return significant(share, 4);
    }
    format!("{share:.5}")
}

fn number(value: f64) -> String {
    significant(value, 5)
}

fn or_none(value: Option<f64>) -> String {
    value.map_or(NONE.to_owned(), number)
}

/// Columns as wide as their widest cell, the first to the left, the others to the right.
fn columns<Row: AsRef<[String]>>(lines: &[Row]) -> String {
    let count = lines.first().map_or(0, |line| line.as_ref().len());
    let width = |column: usize| {
        let cells = lines
            .iter()
            .map(|line| display_width(&line.as_ref()[column]));
        cells.max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..count).map(width).collect();
    let line = |line: &Row| {
        let cells = line.as_ref().iter().zip(&widths).enumerate();
        let cells = cells.map(|(column, (cell, width))| match column {
            0 => format!("{cell:<width$}"),
            _ => format!("{cell:>width$}"),
        });
        cells.collect::<Vec<_>>().join(GAP).trim_end().to_owned() + "\n"
    };
    lines.iter().map(line).collect()
}
