//! What was checked and by what: version, digest and every effective parameter.

use maud::{Markup, html};
use serde_json::Value;

use crate::numbers::significant;
use crate::report::{Checked, PROGRAM, VERSION, parameters::parameters};

pub(super) fn section(checked: &Checked) -> Markup {
    html! {
        section #parameters {
            h2 { "What was checked" }
            dl {
                (entry("tool", html! { (PROGRAM) " " (VERSION) }))
                (entry("input", html! { (checked.origin) }))
                (entry("sha256", html! { code { (checked.input_digest) } }))
            }
            h3 { "Effective parameters, defaults included" }
            p { "Units stand in the keys; a key without one is a fraction or a count." }
            (value(&parameters(&checked.description)))
        }
    }
}

fn entry(key: &str, content: Markup) -> Markup {
    html! { div { dt { (key) } dd { (content) } } }
}

fn value(value: &Value) -> Markup {
    match value {
        Value::Object(object) => html! {
            dl { @for (key, inner) in object { (entry(key, self::value(inner))) } }
        },
        Value::Array(rows) if rows.iter().any(Value::is_object) => table(rows),
        other => html! { (text(other)) },
    }
}

/// Objects as rows; every key that occurs is a column.
fn table(rows: &[Value]) -> Markup {
    let mut columns: Vec<&String> = Vec::new();
    for key in rows
        .iter()
        .filter_map(Value::as_object)
        .flat_map(|row| row.keys())
    {
        if !columns.contains(&key) {
            columns.push(key);
        }
    }
    html! {
        div.scroll {
            table {
                thead { tr { @for column in &columns { th scope="col" { (column) } } } }
                tbody {
                    @for row in rows {
                        tr { @for column in &columns { td { (text(&row[column.as_str()])) } } }
                    }
                }
            }
        }
    }
}

fn text(value: &Value) -> String {
    match value {
        Value::Null => "–".to_owned(),
        Value::String(text) => text.clone(),
        Value::Number(number) if number.is_u64() => number.to_string(),
        Value::Number(number) => number
            .as_f64()
            .map_or(number.to_string(), |n| significant(n, 9)),
        Value::Bool(truth) => truth.to_string(),
        Value::Array(items) => items.iter().map(text).collect::<Vec<_>>().join(", "),
        Value::Object(object) => {
            let pairs = object.iter().map(|(key, inner)| match key.as_str() {
                "kind" => text(inner),
                _ => format!("{key} {}", text(inner)),
            });
            pairs.collect::<Vec<_>>().join(", ")
        }
    }
}
