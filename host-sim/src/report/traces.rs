//! What the plots show, as CSV: one header line, points for decimals, nine significant digits.

use crate::run::Flicker;

use super::{Checked, json, order};
use crate::numbers::significant;

/// One CSV file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace {
    /// File name.
    pub name: &'static str,
    /// Content.
    pub text: String,
}

/// All traces: the script, the curve, the pulse rates, the verdicts, flicker against light, and the lines of each hold
/// and of its supply current.
#[must_use]
pub fn traces(checked: &Checked) -> Vec<Trace> {
    vec![
        trace("script.csv", script_head(checked), script_rows(checked)),
        trace("curve.csv", head(&["level", "light"]), curve_rows(checked)),
        trace("pulse_rates.csv", pulse_head(checked), pulse_rows(checked)),
        trace("verdicts.csv", head(&VERDICT_HEAD), verdict_rows(checked)),
        trace("flicker.csv", head(&FLICKER_HEAD), flicker_rows(checked)),
        trace(
            "lines.csv",
            head(&LINES_HEAD),
            line_rows(checked, |at| &at.lines),
        ),
        trace(
            "chromatic_lines.csv",
            head(&CHROMATIC_HEAD),
            line_rows(checked, |at| &at.chromatic),
        ),
        trace(
            "supply_lines.csv",
            head(&LINES_HEAD),
            supply_line_rows(checked),
        ),
    ]
}

const VERDICT_HEAD: [&str; 12] = [
    "id", "name", "at", "value", "limit", "unit", "bound", "margin", "outcome", "source", "reason",
    "remedy",
];

const FLICKER_HEAD: [&str; 7] = [
    "recipe",
    "light",
    "svm",
    "low_risk_margin",
    "no_effect_margin",
    "below_90_hz",
    "visibility",
];

const LINES_HEAD: [&str; 4] = ["recipe", "light", "frequency_hz", "amplitude"];
const CHROMATIC_HEAD: [&str; 4] = ["recipe", "light", "frequency_hz", "delta_uv"];

/// Lines told of each hold, the strongest ones.
const LINES_TOLD: usize = 200;

fn trace(name: &'static str, head: Vec<String>, rows: Vec<Vec<String>>) -> Trace {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in std::iter::once(head).chain(rows) {
        writer
            .write_record(row)
            .expect("rows as long as the header, in memory");
    }
    let bytes = writer.into_inner().expect("memory takes every byte");
    Trace {
        name,
        text: String::from_utf8(bytes).expect("made of strings"),
    }
}

fn head(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

fn channel_columns<'a>(checked: &'a Checked, prefix: &'a str) -> impl Iterator<Item = String> + 'a {
    checked
        .description
        .channels
        .iter()
        .map(move |channel| format!("{prefix}_{}", channel.name))
}

fn number(value: f64) -> String {
    significant(value, 9)
}

fn optional(value: Option<f64>) -> String {
    value
        .filter(|value| value.is_finite())
        .map(number)
        .unwrap_or_default()
}

fn script_head(checked: &Checked) -> Vec<String> {
    let mut names = head(&["time_s", "level", "flux_lm", "asked_flux_lm"]);
    names.extend(channel_columns(checked, "density"));
    names.extend(head(&["u_prime", "v_prime"]));
    names
}

fn script_rows(checked: &Checked) -> Vec<Vec<String>> {
    let row = |moment: &crate::run::Moment| {
        let mut row = vec![number(moment.time_s), moment.level.to_string()];
        row.extend([moment.flux_lm, moment.asked_flux_lm].map(number));
        row.extend(moment.densities.iter().copied().map(number));
        row.extend([moment.uv.map(|uv| uv.0), moment.uv.map(|uv| uv.1)].map(optional));
        row
    };
    checked.observed.script.iter().map(row).collect()
}

fn curve_rows(checked: &Checked) -> Vec<Vec<String>> {
    let curve = checked.observed.curve.iter();
    curve
        .map(|(level, light)| vec![level.to_string(), number(*light)])
        .collect()
}

fn pulse_head(checked: &Checked) -> Vec<String> {
    let mut names = head(&["recipe", "light"]);
    names.extend(channel_columns(checked, "pulse_hz"));
    names
}

fn pulse_rows(checked: &Checked) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for rates in &checked.observed.pulse_rates {
        for (light, pulse_hz) in &rates.rows {
            let mut row = named(checked, rates.recipe, &[*light]);
            row.extend(pulse_hz.iter().copied().map(number));
            rows.push(row);
        }
    }
    rows
}

fn flicker_rows(checked: &Checked) -> Vec<Vec<String>> {
    let maps = checked.observed.metric_maps.iter();
    let rows = maps.flat_map(|map| map.rows.iter().map(move |row| (map.recipe, row)));
    rows.map(|(recipe, row)| {
        let figures = [
            row.light,
            row.svm,
            row.low_risk,
            row.no_effect,
            row.below_90_hz,
            row.visibility,
        ];
        named(checked, recipe, &figures)
    })
    .collect()
}

fn line_rows(checked: &Checked, of: fn(&Flicker) -> &[(f64, f64)]) -> Vec<Vec<String>> {
    let holds = checked.observed.flicker.iter();
    let holds = holds.map(|at| (at.recipe, at.light, of(at)));
    told(checked, holds)
}

fn supply_line_rows(checked: &Checked) -> Vec<Vec<String>> {
    let holds = checked.observed.driving.iter();
    let holds = holds.map(|at| (at.recipe, at.light, at.spread.lines.as_slice()));
    told(checked, holds)
}

/// The strongest lines of recipes at lights.
fn told<'l>(
    checked: &Checked,
    holds: impl Iterator<Item = (usize, f64, &'l [(f64, f64)])>,
) -> Vec<Vec<String>> {
    holds
        .flat_map(|(recipe, light, lines)| {
            let lines = strongest(lines).into_iter();
            lines.map(move |(hz, amplitude)| named(checked, recipe, &[light, hz, amplitude]))
        })
        .collect()
}

/// The strongest lines, in order of frequency.
fn strongest(lines: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut told = lines.to_vec();
    told.sort_by(|a, b| b.1.total_cmp(&a.1));
    told.truncate(LINES_TOLD);
    told.sort_by(|a, b| a.0.total_cmp(&b.0));
    told
}

/// A row that begins with the recipe's name.
fn named(checked: &Checked, recipe: usize, figures: &[f64]) -> Vec<String> {
    let name = checked.description.recipes[recipe].name.clone();
    let figures = figures.iter().copied().map(number);
    std::iter::once(name).chain(figures).collect()
}

fn verdict_rows(checked: &Checked) -> Vec<Vec<String>> {
    let row = |verdict: &crate::verdict::Verdict| {
        let mut row = head(&[verdict.id, verdict.name, &verdict.at]);
        row.extend([optional(verdict.value), number(verdict.limit)]);
        row.extend(head(&[verdict.unit, json::bound(verdict.bound)]));
        row.push(optional(order::margin(verdict)));
        row.extend(head(&[
            json::outcome(verdict.outcome),
            verdict.source,
            &verdict.reason,
        ]));
        row.push(verdict.remedy.clone().unwrap_or_default());
        row
    };
    checked.verdicts.iter().map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    fn first_line(name: &str) -> String {
        let traces = traces(&fixture::checked());
        let trace = traces.iter().find(|trace| trace.name == name).unwrap();
        trace.text.lines().next().unwrap().to_owned()
    }

    #[test]
    fn columns_are_named_after_the_channels() {
        let script = first_line("script.csv");
        assert!(
            script.starts_with("time_s,level,flux_lm,asked_flux_lm,density_red,"),
            "{script}"
        );
        assert!(
            script.ends_with("density_warm_white,u_prime,v_prime"),
            "{script}"
        );
        assert!(first_line("pulse_rates.csv").starts_with("recipe,light,pulse_hz_red,"));
    }

    #[test]
    fn every_observation_is_a_row() {
        let checked = fixture::checked();
        let traces = traces(&checked);
        assert_eq!(
            traces[0].text.lines().count(),
            checked.observed.script.len() + 1
        );
        assert_eq!(
            traces[1].text.lines().count(),
            checked.observed.curve.len() + 1
        );
        let rates: usize = checked
            .observed
            .pulse_rates
            .iter()
            .map(|rates| rates.rows.len())
            .sum();
        assert_eq!(traces[2].text.lines().count(), rates + 1);
        assert_eq!(traces[3].text.lines().count(), checked.verdicts.len() + 1);
        let maps = &checked.observed.metric_maps;
        let mapped: usize = maps.iter().map(|map| map.rows.len()).sum();
        assert_eq!(traces[4].text.lines().count(), mapped + 1);
    }

    #[test]
    fn the_strongest_lines_are_told_in_order_of_frequency() {
        let mut lines: Vec<_> = (1..=500).map(|hz| (f64::from(hz), 1e-6)).collect();
        lines[6].1 = 0.5;
        lines[498].1 = 0.7;
        let told = strongest(&lines);
        assert_eq!(told.len(), LINES_TOLD);
        assert!(told.contains(&(7.0, 0.5)) && told.contains(&(499.0, 0.7)));
        assert!(told.is_sorted_by_key(|line| line.0));
    }

    #[test]
    fn a_line_stands_with_its_recipe_and_light() {
        let traces = traces(&fixture::checked());
        let rows: Vec<_> = traces[5].text.lines().collect();
        assert_eq!(rows[0], "recipe,light,frequency_hz,amplitude");
        assert!(rows[rows.len() - 1].starts_with("stars,0.001,"), "{rows:?}");
    }

    #[test]
    fn a_dark_moment_has_no_chromaticity() {
        let traces = traces(&fixture::checked());
        assert!(traces[0].text.lines().nth(1).unwrap().ends_with(",,"));
    }
}
