//! `[recipes]`: colours as channel shares.

use super::key::read as read_value;
use super::problem::{SHOWN, shown};
use super::table::{Entry, Table, wrong_count};
use super::value::{Kind, Number, Refusal, Text, from_to};
use super::{Channel, Problem, Recipe};
use toml::de::DeValue;

pub(super) const NAME: &str = "recipes";

const MOST: usize = 32;
const SHARE: Number = from_to(0.0, 1.0, "");
const LABEL: Text = Text {
    longest: 60,
    fits: |text| !text.is_empty() && !text.contains(char::is_control),
    allowed: "a name of 1 to 60 characters, none of them a control character",
};

pub(super) fn read(root: &Table<'_>, channels: &[Channel]) -> Result<Vec<Recipe>, Problem> {
    let example = format!("full = {{ {} = 1.0 }}", channels[0].name);
    let missing = || root.missing(NAME, &format!("[{NAME}]\n{example}"));
    let table = root.table(NAME)?.ok_or_else(missing)?;
    let entries = table.written();
    if entries.is_empty() || entries.len() > MOST {
        let first_too_many = entries.get(MOST).map(|entry| entry.name_span.clone());
        let place = first_too_many.unwrap_or(table.span);
        let allowed = format!("1 to {MOST} recipes, such as {example}");
        return Err(wrong_count(entries.len(), NAME, place, allowed));
    }
    entries
        .iter()
        .map(|entry| recipe(&table, entry, channels))
        .collect()
}

fn recipe(recipes: &Table<'_>, entry: &Entry<'_>, channels: &[Channel]) -> Result<Recipe, Problem> {
    let name = label(recipes, entry)?;
    let path = recipes.path_of(&name);
    let table = Table::open(
        entry.value,
        &name,
        path.clone(),
        "a table of channel = share",
    )?;
    let mut shares = vec![0.0; channels.len()];
    for share in table.written() {
        let channel = channel(&table, &share, channels)?;
        shares[channel] = read_value(&SHARE, share.value, share.name, table.path_of(share.name))?;
    }
    if shares.iter().all(|share| *share == 0.0) {
        let title = format!("recipe `{}` is dark", shown(&name, SHOWN));
        return Err(Problem::new(title)
            .about(path)
            .at(entry.name_span.clone())
            .allowed("at least one share above 0"));
    }
    Ok(Recipe { name, shares })
}

fn label(recipes: &Table<'_>, entry: &Entry<'_>) -> Result<String, Problem> {
    let name = DeValue::String(entry.name.into());
    LABEL.read(&name).map_err(|_: Refusal| {
        Problem::new("this name of a recipe is not allowed")
            .about(recipes.path_of(entry.name))
            .at(entry.name_span.clone())
            .allowed(LABEL.allowed())
    })
}

fn channel(table: &Table<'_>, share: &Entry<'_>, channels: &[Channel]) -> Result<usize, Problem> {
    let found = channels
        .iter()
        .position(|channel| channel.name == share.name);
    found.ok_or_else(|| {
        let names: Vec<&str> = channels
            .iter()
            .map(|channel| channel.name.as_str())
            .collect();
        Problem::new(format!("unknown channel `{}`", shown(share.name, SHOWN)))
            .about(table.path_of(share.name))
            .at(share.name_span.clone())
            .one_of(share.name, &names)
    })
}
