//! The kinds of value that a key can hold, each with its range as the reader of an error sees it.

use crate::numbers::grouped;
use std::marker::PhantomData;
use toml::de::DeValue;

/// Why a value was refused.
pub(super) enum Refusal {
    Type,
    Value,
}

/// A kind of value: how to read it and what is allowed.
pub(super) trait Kind {
    type Value: Clone;
    fn read(&self, value: &DeValue<'_>) -> Result<Self::Value, Refusal>;
    fn allowed(&self) -> String;
}

/// A whole number from `min` to `max`, of which `T` can hold all.
pub(super) struct Whole<T = u32> {
    min: u32,
    max: u32,
    unit: &'static str,
    holder: PhantomData<T>,
}

/// A number from `min` (or above it) to `max`.
pub(super) struct Number {
    min: f64,
    above_min: bool,
    max: f64,
    unit: &'static str,
}

/// A text of limited length whose characters fit a rule.
pub(super) struct Text {
    pub(super) longest: usize,
    pub(super) fits: fn(&str) -> bool,
    pub(super) allowed: &'static str,
}

/// One of a few words, each with its meaning.
pub(super) struct Word<T: 'static>(pub(super) &'static [(&'static str, T)]);

/// True or false.
pub(super) struct Flag;

pub(super) const fn whole<T>(min: u32, max: u32, unit: &'static str) -> Whole<T> {
    let holder = PhantomData;
    Whole {
        min,
        max,
        unit,
        holder,
    }
}

pub(super) const fn from_to(min: f64, max: f64, unit: &'static str) -> Number {
    let above_min = false;
    Number {
        min,
        above_min,
        max,
        unit,
    }
}

pub(super) const fn above_to(min: f64, max: f64, unit: &'static str) -> Number {
    let above_min = true;
    Number {
        min,
        above_min,
        max,
        unit,
    }
}

impl<T: TryFrom<u32> + Clone> Kind for Whole<T> {
    type Value = T;

    fn read(&self, value: &DeValue<'_>) -> Result<T, Refusal> {
        let written = value.as_integer().ok_or(Refusal::Type)?;
        u32::from_str_radix(written.as_str(), written.radix())
            .ok()
            .filter(|number| (self.min..=self.max).contains(number))
            .and_then(|number| T::try_from(number).ok())
            .ok_or(Refusal::Value)
    }

    fn allowed(&self) -> String {
        if self.min == self.max {
            return grouped(self.min.into());
        }
        let (min, max) = (grouped(self.min.into()), grouped(self.max.into()));
        format!("a whole number, {min} to {max} {}", self.unit)
            .trim_end()
            .to_owned()
    }
}

impl Kind for Number {
    type Value = f64;

    fn read(&self, value: &DeValue<'_>) -> Result<f64, Refusal> {
        let number = match value {
            DeValue::Float(written) => written.as_str().parse().map_err(|_| Refusal::Value)?,
            DeValue::Integer(written) => i64::from_str_radix(written.as_str(), written.radix())
                .map_err(|_| Refusal::Value)? as f64,
            _ => return Err(Refusal::Type),
        };
        let high_enough = if self.above_min {
            number > self.min
        } else {
            number >= self.min
        };
        (high_enough && number <= self.max)
            .then_some(number)
            .ok_or(Refusal::Value)
    }

    fn allowed(&self) -> String {
        let (min, max) = (grouped(self.min), grouped(self.max));
        let range = if self.above_min {
            format!("a number above {min}, at most {max} {}", self.unit)
        } else {
            format!("a number, {min} to {max} {}", self.unit)
        };
        range.trim_end().to_owned()
    }
}

/// A list of at most `most` values of one kind.
pub(super) struct List<K> {
    pub(super) each: K,
    pub(super) most: usize,
}

/// A list of numbers.
pub(super) type Numbers = List<Number>;

impl<K: Kind> Kind for List<K> {
    type Value = Vec<K::Value>;

    fn read(&self, value: &DeValue<'_>) -> Result<Self::Value, Refusal> {
        let array = value.as_array().ok_or(Refusal::Type)?;
        if array.is_empty() || array.len() > self.most {
            return Err(Refusal::Value);
        }
        array
            .iter()
            .map(|value| self.each.read(value.get_ref()))
            .collect()
    }

    fn allowed(&self) -> String {
        format!(
            "a list of 1 to {} numbers, each {}",
            self.most,
            self.each.allowed()
        )
    }
}

impl Kind for Text {
    type Value = String;

    fn read(&self, value: &DeValue<'_>) -> Result<String, Refusal> {
        let text = value.as_str().ok_or(Refusal::Type)?;
        let fits = text.chars().nth(self.longest).is_none() && (self.fits)(text);
        fits.then(|| text.to_owned()).ok_or(Refusal::Value)
    }

    fn allowed(&self) -> String {
        self.allowed.to_owned()
    }
}

impl Kind for Flag {
    type Value = bool;

    fn read(&self, value: &DeValue<'_>) -> Result<bool, Refusal> {
        value.as_bool().ok_or(Refusal::Type)
    }

    fn allowed(&self) -> String {
        "true or false".to_owned()
    }
}

impl<T: Copy> Kind for Word<T> {
    type Value = T;

    fn read(&self, value: &DeValue<'_>) -> Result<T, Refusal> {
        let written = value.as_str().ok_or(Refusal::Type)?;
        let found = self.0.iter().find(|(word, _)| *word == written);
        found.map(|(_, meaning)| *meaning).ok_or(Refusal::Value)
    }

    fn allowed(&self) -> String {
        let words: Vec<String> = self
            .0
            .iter()
            .map(|(word, _)| format!("\"{word}\""))
            .collect();
        words.join(", ")
    }
}

/// The name of a value's type as TOML calls it, with its article.
pub(super) fn type_of(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a string",
        DeValue::Integer(_) => "an integer",
        DeValue::Float(_) => "a float",
        DeValue::Boolean(_) => "a boolean",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "an array",
        DeValue::Table(_) => "a table",
    }
}
