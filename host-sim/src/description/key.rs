//! A key of the format, declared once: its name, the kind of its value, and what holds without it.

use super::Problem;
use super::problem::{SHOWN, shown};
use super::value::{Kind, Refusal, type_of};
use toml::Spanned;
use toml::de::DeValue;

/// A key of a table; when it is missing there is nothing, an error with an [`Offer`], or a default value.
pub(super) struct Key<K, M = ()> {
    pub(super) name: &'static str,
    pub(super) kind: K,
    pub(super) missing: M,
}

/// The value that the error about a missing key offers.
pub(super) struct Offer(pub(super) &'static str);

pub(super) const fn key<K, M>(name: &'static str, kind: K, missing: M) -> Key<K, M> {
    Key {
        name,
        kind,
        missing,
    }
}

/// The value of one entry, read by its kind.
pub(super) fn read<K: Kind>(
    kind: &K,
    value: &Spanned<DeValue<'_>>,
    name: &str,
    path: String,
) -> Result<K::Value, Problem> {
    kind.read(value.get_ref()).map_err(|refusal| match refusal {
        Refusal::Type => wrong_type(value, name, path, &kind.allowed()),
        Refusal::Value => {
            let title = format!("the value of `{}` is not allowed", shown(name, SHOWN));
            let problem = Problem::new(title).about(path).at(value.span());
            problem.allowed(kind.allowed())
        }
    })
}

pub(super) fn wrong_type(
    value: &Spanned<DeValue<'_>>,
    name: &str,
    path: String,
    allowed: &str,
) -> Problem {
    let (name, found) = (shown(name, SHOWN), type_of(value.get_ref()));
    Problem::new(format!("`{name}` cannot be {found}"))
        .about(path)
        .at(value.span())
        .allowed(allowed)
}
