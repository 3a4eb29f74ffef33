//! A design as a luminaire's file: the text that was explored, with the design's values in their places and its comments kept.

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value, value};

use super::Candidate;
use crate::description::{Modulation, OperatingRow};

/// The text of a luminaire with a candidate's values; `text` must be one that was read as a luminaire.
///
/// The modulation and the rows stand in `[modulation]` and `[operating]`, and leave the channels, whose own values they would
/// not replace there.
///
/// # Errors
/// What is wrong with the text, if it is no TOML.
pub fn written(text: &str, candidate: &Candidate) -> Result<String, String> {
    let mut document: DocumentMut = text
        .parse()
        .map_err(|error: toml_edit::TomlError| error.to_string())?;
    set(
        document.as_table_mut(),
        "tick_hz",
        i64::from(candidate.tick_hz),
    );
    for_each_channel(&mut document, |channel| {
        for key in ["order", "dither_steps", "timer_bits", "operating"] {
            channel.remove(key);
        }
        scale_edges(channel, candidate.edge_factor);
    });
    modulate(table(&mut document, "modulation"), candidate.modulation);
    operate(&mut document, &candidate.rows());
    Ok(document.to_string())
}

/// The top table of this name, made if it is not there.
fn table<'a>(document: &'a mut DocumentMut, name: &str) -> &'a mut dyn TableLike {
    let item = document
        .entry(name)
        .or_insert_with(|| Item::Table(Table::new()));
    item.as_table_like_mut().expect("a table, as it was read")
}

/// A value in the place of another, with the comment beside it.
fn set(table: &mut dyn TableLike, key: &str, new: impl Into<Value>) {
    let mut new = new.into();
    if let Some(old) = table.get(key).and_then(Item::as_value) {
        *new.decor_mut() = old.decor().clone();
    }
    table.insert(key, value(new));
}

fn for_each_channel(document: &mut DocumentMut, mut change: impl FnMut(&mut dyn TableLike)) {
    match document.get_mut("channels") {
        Some(Item::ArrayOfTables(tables)) => tables.iter_mut().for_each(|table| change(table)),
        Some(Item::Value(Value::Array(array))) => {
            array
                .iter_mut()
                .filter_map(Value::as_inline_table_mut)
                .for_each(|table| change(table));
        }
        _ => {}
    }
}

fn scale_edges(channel: &mut dyn TableLike, factor: f64) {
    let driver = channel.get_mut("driver").and_then(Item::as_table_like_mut);
    let Some(driver) = driver.filter(|_| factor != 1.0) else {
        return;
    };
    for key in ["rise_ns", "fall_ns", "rise_constant_ns", "fall_constant_ns"] {
        let old = driver.get(key).and_then(number);
        if let Some(old) = old {
            set(driver, key, old * factor);
        }
    }
}

fn number(item: &Item) -> Option<f64> {
    item.as_float()
        .or_else(|| item.as_integer().map(|whole| whole as f64))
}

fn modulate(table: &mut dyn TableLike, modulation: Modulation) {
    let (order, width_shift, bits) = match modulation {
        Modulation::FirstOrder => (1, None, 0),
        Modulation::Dithered { width_shift } => (1, Some(width_shift), 0),
        Modulation::SecondOrder => (2, None, 0),
        Modulation::Timer {
            bits,
            order,
            width_shift,
        } => (order, width_shift, bits),
    };
    set(table, "order", i64::from(order));
    match width_shift {
        None => set(table, "dither_steps", 0),
        Some(shift) => set(table, "dither_steps", 0.5_f64.powi(shift.into())),
    }
    set(table, "timer_bits", i64::from(bits));
}

fn operate(document: &mut DocumentMut, rows: &[OperatingRow]) {
    let operating = table(document, "operating");
    operating.remove("rows");
    if rows == [OperatingRow::PLAIN] {
        return;
    }
    let mut tables = ArrayOfTables::new();
    for row in rows {
        let mut table = Table::new();
        table.insert("from_light_percent", value(percent(row.from_light)));
        table.insert("range_ratio", value(row.range_ratio));
        table.insert("stretch", value(i64::from(row.stretch)));
        tables.push(table);
    }
    operating.insert("rows", Item::ArrayOfTables(tables));
}

/// The short number that makes this light when it is read again.
fn percent(light: f64) -> f64 {
    let near = 100.0 * light;
    let short: f64 = format!("{near:.5e}").parse().unwrap_or(near);
    if short / 100.0 == light { short } else { near }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::{BUILT_IN, parse};
    use crate::explore::{LowerRange, Stretched};

    const DESIGN: Candidate = Candidate {
        tick_hz: 6_000_000,
        modulation: Modulation::FirstOrder,
        edge_factor: 1.0,
        lower_range: Some(LowerRange {
            ratio: 12.0,
            below_percent: 6.666_67,
        }),
        stretched: Some(Stretched {
            ticks: 4,
            from_percent: 20.0,
        }),
    };

    fn assert_same(text: &str, candidate: &Candidate) -> String {
        let luminaire = parse(text, "before").unwrap_or_else(|problem| panic!("{problem}"));
        let written = written(text, candidate).unwrap();
        let read =
            parse(&written, "after").unwrap_or_else(|problem| panic!("{problem}\n{written}"));
        assert_eq!(read, candidate.described(&luminaire), "{written}");
        written
    }

    #[test]
    fn what_is_written_is_read_as_the_design() {
        let timer = Modulation::Timer {
            bits: 10,
            order: 2,
            width_shift: Some(3),
        };
        let draft = include_str!("../../luminaires/cove-light-first-draft.toml");
        for text in [
            BUILT_IN,
            draft,
            include_str!("../../luminaires/dome-wash.toml"),
        ] {
            for modulation in [
                Modulation::FirstOrder,
                Modulation::SecondOrder,
                Modulation::Dithered { width_shift: 1 },
            ] {
                assert_same(
                    text,
                    &Candidate {
                        modulation,
                        ..DESIGN
                    },
                );
            }
            assert_same(
                text,
                &Candidate {
                    modulation: timer,
                    stretched: None,
                    lower_range: None,
                    ..DESIGN
                },
            );
        }
    }

    #[test]
    fn comments_stay_and_rows_of_channels_go() {
        let draft = include_str!("../../luminaires/cove-light-first-draft.toml");
        let own = "operating = [{ from_light_percent = 0.0, stretch = 2 }]\ndriver = { kind = \"slew\", rise_ns = 20, fall_ns = 10.0 }";
        let text = draft.replacen("order = 2 ", &format!("{own}\norder = 2 "), 1);
        let slower = Candidate {
            edge_factor: 2.0,
            ..DESIGN
        };
        let written = assert_same(&text, &slower);
        assert!(
            written.contains("tick_hz = 6000000               # \"faster than any eye\""),
            "{written}"
        );
        assert!(
            written.contains("rise_ns = 40.0, fall_ns = 20.0"),
            "{written}"
        );
        assert!(!written.contains("dither hides everything"), "{written}");
    }
}
