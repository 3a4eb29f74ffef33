//! Walks a parsed TOML document by keys that are declared once each, so that every error is ours.

use super::Problem;
use super::key::{Key, Offer, read, wrong_type};
use super::problem::{SHOWN, shown};
use super::value::Kind;
use std::ops::{Range, RangeInclusive};
use std::sync::LazyLock;
use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

/// A table of the document and where it stands.
pub(super) struct Table<'a> {
    entries: &'a DeTable<'a>,
    path: String,
    pub(super) span: Range<usize>,
}

/// A key as the file has it, with its value.
pub(super) struct Entry<'a> {
    pub(super) name: &'a str,
    pub(super) name_span: Range<usize>,
    pub(super) value: &'a Spanned<DeValue<'a>>,
}

impl<'a> Table<'a> {
    /// A table that is not written.
    pub(super) fn empty() -> Self {
        static EMPTY: LazyLock<DeTable<'static>> = LazyLock::new(DeTable::new);
        Self {
            entries: &EMPTY,
            path: String::new(),
            span: 0..0,
        }
    }

    pub(super) fn root(document: &'a Spanned<DeTable<'a>>) -> Self {
        let mut root = Self {
            entries: document.get_ref(),
            path: String::new(),
            span: 0..0,
        };
        if let Some(first) = root.written().into_iter().next() {
            root.span = first.name_span;
        }
        root
    }

    /// `name` as a message shows it, with the tables around it.
    pub(super) fn path_of(&self, name: &str) -> String {
        match self.path.as_str() {
            "" => shown(name, SHOWN),
            path => format!("{path}.{}", shown(name, SHOWN)),
        }
    }

    /// The name of this table, with the tables around it.
    pub(super) fn path(&self) -> &str {
        &self.path
    }

    /// Whether a key is written, with an array.
    pub(super) fn holds_array(&self, name: &str) -> bool {
        let value = self.entries.get(name);
        value.is_some_and(|value| value.get_ref().is_array())
    }

    /// The array of a key, if it is written and is one.
    pub(super) fn array_of(&self, name: &str) -> Option<&'a [Spanned<DeValue<'a>>]> {
        self.entries
            .get(name)?
            .get_ref()
            .as_array()
            .map(|array| &**array)
    }

    /// All entries in the order of the file.
    pub(super) fn written(&self) -> Vec<Entry<'a>> {
        let mut entries: Vec<Entry<'a>> = self.entries.iter().map(entry).collect();
        entries.sort_by_key(|entry| entry.name_span.start);
        entries
    }

    /// Refuses the first key that is not one of `names`.
    pub(super) fn only(&self, names: &[&str]) -> Result<(), Problem> {
        let unknown = |entry: &Entry<'_>| !names.contains(&entry.name);
        self.written()
            .into_iter()
            .find(unknown)
            .map_or(Ok(()), |entry| {
                let title = format!("unknown key `{}`", shown(entry.name, SHOWN));
                Err(Problem::new(title)
                    .about(self.path_of(entry.name))
                    .at(entry.name_span)
                    .one_of(entry.name, names))
            })
    }

    /// The value of a key, or an error with the line to add.
    pub(super) fn need<K: Kind>(&self, key: &Key<K, Offer>) -> Result<K::Value, Problem> {
        self.find(key)?.ok_or_else(|| {
            let line = format!("{} = {}", key.name, key.missing.0);
            self.missing(key.name, &line).allowed(key.kind.allowed())
        })
    }

    /// The value of a key, or its default.
    pub(super) fn take<K: Kind>(&self, key: &Key<K, K::Value>) -> Result<K::Value, Problem> {
        Ok(self.find(key)?.unwrap_or_else(|| key.missing.clone()))
    }

    /// The value of a key, if it is written.
    pub(super) fn find<K: Kind, M>(&self, key: &Key<K, M>) -> Result<Option<K::Value>, Problem> {
        let Some(value) = self.entries.get(key.name) else {
            return Ok(None);
        };
        read(&key.kind, value, key.name, self.path_of(key.name)).map(Some)
    }

    /// Where the value of a key stands; the table, if it is not written.
    pub(super) fn span_of<K, M>(&self, key: &Key<K, M>) -> Range<usize> {
        self.value_span(key.name)
    }

    /// The same, by the key's name.
    pub(super) fn value_span(&self, name: &str) -> Range<usize> {
        self.entries
            .get(name)
            .map_or(self.span.clone(), Spanned::span)
    }

    pub(super) fn missing(&self, name: &str, lines: &str) -> Problem {
        let place = match (self.path.as_str(), lines.starts_with('[')) {
            (_, true) => "add this table:",
            ("", false) => "add this line, above the first [table]:",
            _ => "add this line to the table:",
        };
        Problem::new(format!("missing key `{name}`"))
            .about(self.path_of(name))
            .at(self.span.clone())
            .help(format!("{place}\n{lines}"))
    }

    /// The table of this name, if it is written.
    pub(super) fn table(&self, name: &str) -> Result<Option<Table<'a>>, Problem> {
        let Some(value) = self.entries.get(name) else {
            return Ok(None);
        };
        Self::open(value, name, self.path_of(name), "a table").map(Some)
    }

    /// The tables of the array of this name, if it is written, as many as `count` allows.
    pub(super) fn tables(
        &self,
        name: &str,
        count: RangeInclusive<usize>,
    ) -> Result<Option<Vec<Table<'a>>>, Problem> {
        let Some(value) = self.entries.get(name) else {
            return Ok(None);
        };
        let (least, most) = (count.start(), count.end());
        let allowed = format!("{least} to {most} tables, each below [[{name}]]");
        let array = value.get_ref().as_array();
        let array = array.ok_or_else(|| wrong_type(value, name, self.path_of(name), &allowed))?;
        if !count.contains(&array.len()) {
            let place = array.get(*most).unwrap_or(value).span();
            return Err(wrong_count(array.len(), name, place, allowed));
        }
        let tables = array
            .iter()
            .map(|value| Self::open(value, name, self.path_of(name), &allowed));
        tables.collect::<Result<_, _>>().map(Some)
    }

    /// A value as the table that it must be.
    pub(super) fn open(
        value: &'a Spanned<DeValue<'a>>,
        name: &str,
        path: String,
        allowed: &str,
    ) -> Result<Self, Problem> {
        let span = value.span();
        match value.get_ref() {
            DeValue::Table(entries) => Ok(Self {
                entries,
                path,
                span,
            }),
            _ => Err(wrong_type(value, name, path, allowed)),
        }
    }
}

fn entry<'a>((name, value): (&'a Spanned<DeString<'a>>, &'a Spanned<DeValue<'a>>)) -> Entry<'a> {
    Entry {
        name: name.get_ref(),
        name_span: name.span(),
        value,
    }
}

/// None of what there must be some, or too many of it.
pub(super) fn wrong_count(
    count: usize,
    name: &str,
    place: Range<usize>,
    allowed: String,
) -> Problem {
    let quantity = if count == 0 { "no" } else { "too many" };
    Problem::new(format!("{quantity} {name}"))
        .about(name.to_owned())
        .at(place)
        .allowed(allowed)
}
