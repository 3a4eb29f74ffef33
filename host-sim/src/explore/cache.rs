//! What was found so far, in a file that a later search of the same inputs goes on from.
//!
//! The first line holds the digest of the inputs, each further one a candidate's number and figures. Lines are appended as
//! they come; a last one that is not whole is what an interrupted search leaves, and is dropped.

use std::collections::BTreeMap;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use serde_json::{Value, json};

use super::scores::{REQUIREMENTS, Scores};

/// What the coarse metrics say of a candidate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Coarse {
    pub(super) scores: Scores,
    pub(super) edges_hz: f64,
}

/// Figures by the candidate's number.
#[derive(Debug, Default)]
struct Kept {
    coarse: BTreeMap<usize, Coarse>,
    full: BTreeMap<usize, Scores>,
    file: Option<File>,
}

/// The file and what it holds.
#[derive(Debug)]
pub struct Cache {
    digest: String,
    kept: Mutex<Kept>,
}

/// Whether a file that was found could be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Opened {
    /// There was none, or one of other inputs.
    New,
    /// So many figures of candidates were taken over.
    Resumed(usize),
    /// It was no cache, or damaged: it is ignored and written anew.
    Ignored(PathBuf),
}

impl Cache {
    /// One that is kept in memory alone.
    #[must_use]
    pub fn in_memory(digest: &str) -> Self {
        Self {
            digest: digest.to_owned(),
            kept: Mutex::default(),
        }
    }

    /// In a file, for inputs of this digest and so many candidates.
    ///
    /// # Errors
    /// What the system says when the file cannot be written.
    pub fn open(path: &Path, digest: &str, candidates: usize) -> io::Result<(Self, Opened)> {
        let cache = Self::in_memory(digest);
        let opened = match fs::read_to_string(path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => Opened::New,
            Ok(text) if is_of_other_inputs(&text, digest) => Opened::New,
            Ok(text) if cache.take(&text, candidates) => Opened::Resumed(cache.count()),
            _ => Opened::Ignored(path.to_owned()),
        };
        fs::write(path, cache.text())?;
        cache.lock().file = Some(OpenOptions::new().append(true).open(path)?);
        Ok((cache, opened))
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Kept> {
        self.kept
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    fn count(&self) -> usize {
        let kept = self.lock();
        kept.coarse.len() + kept.full.len()
    }

    /// Takes a file's text over, whole or not at all.
    fn take(&self, text: &str, candidates: usize) -> bool {
        let whole = text.rfind('\n').map_or("", |end| &text[..end]);
        let mut lines = whole.lines();
        if lines.next() != Some(&*self.head()) {
            return false;
        }
        let entries: Option<Vec<_>> = lines.map(|line| entry(line, candidates)).collect();
        let Some(entries) = entries else {
            return false;
        };
        let mut kept = self.lock();
        for (number, edges_hz, scores) in entries {
            match edges_hz {
                Some(edges_hz) => drop(kept.coarse.insert(number, Coarse { scores, edges_hz })),
                None => drop(kept.full.insert(number, scores)),
            }
        }
        true
    }

    fn head(&self) -> String {
        json!({ "explore_cache": 1, "digest": self.digest }).to_string()
    }

    /// All of it, in the order of the candidates.
    #[must_use]
    pub fn text(&self) -> String {
        let kept = self.lock();
        let coarse = kept
            .coarse
            .iter()
            .map(|(&number, coarse)| line(number, Some(coarse.edges_hz), &coarse.scores));
        let full = kept
            .full
            .iter()
            .map(|(&number, scores)| line(number, None, scores));
        std::iter::once(self.head() + "\n")
            .chain(coarse)
            .chain(full)
            .collect()
    }

    pub(super) fn coarse(&self, number: usize) -> Option<Coarse> {
        self.lock().coarse.get(&number).copied()
    }

    pub(super) fn full(&self, number: usize) -> Option<Scores> {
        self.lock().full.get(&number).copied()
    }

    pub(super) fn keep_coarse(&self, number: usize, coarse: Coarse) {
        let mut kept = self.lock();
        kept.append(&line(number, Some(coarse.edges_hz), &coarse.scores));
        kept.coarse.insert(number, coarse);
    }

    pub(super) fn keep_full(&self, number: usize, scores: Scores) {
        let mut kept = self.lock();
        kept.append(&line(number, None, &scores));
        kept.full.insert(number, scores);
    }
}

fn is_of_other_inputs(text: &str, digest: &str) -> bool {
    let head = text
        .lines()
        .next()
        .and_then(|line| serde_json::from_str::<Value>(line).ok());
    head.is_some_and(|head| {
        head["explore_cache"] == 1 && head["digest"].is_string() && head["digest"] != digest
    })
}

impl Kept {
    /// A disk that is full costs the cache, not the search.
    fn append(&mut self, line: &str) {
        let written = self
            .file
            .as_mut()
            .map(|file| file.write_all(line.as_bytes()));
        if matches!(written, Some(Err(_))) {
            self.file = None;
        }
    }
}

/// JSON has no infinity: it is null.
fn line(number: usize, edges_hz: Option<f64>, scores: &Scores) -> String {
    let scores = scores.0.map(|over| {
        if over.is_finite() {
            Value::from(over)
        } else {
            Value::Null
        }
    });
    let line = match edges_hz {
        Some(edges_hz) => json!({ "candidate": number, "edges_hz": edges_hz, "coarse": scores }),
        None => json!({ "candidate": number, "full": scores }),
    };
    format!("{line}\n")
}

fn entry(line: &str, candidates: usize) -> Option<(usize, Option<f64>, Scores)> {
    let value: Value = serde_json::from_str(line).ok()?;
    let number = usize::try_from(value["candidate"].as_u64()?).ok()?;
    let (edges_hz, scores) = match value.get("full") {
        Some(scores) => (None, scores),
        None => (Some(value["edges_hz"].as_f64()?), &value["coarse"]),
    };
    let over = |value: &Value| {
        if value.is_null() {
            Some(f64::INFINITY)
        } else {
            value.as_f64()
        }
    };
    let scores: Option<Vec<f64>> = scores.as_array()?.iter().map(over).collect();
    let scores: [f64; REQUIREMENTS.len()] = scores?.try_into().ok()?;
    (number < candidates).then_some((number, edges_hz, Scores(scores)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scores(over: f64) -> Scores {
        Scores([over; REQUIREMENTS.len()])
    }

    const COARSE: f64 = 0.1 + 0.2;

    fn written(path: &Path) {
        let (cache, opened) = Cache::open(path, "abc", 10).unwrap();
        assert_eq!(opened, Opened::New);
        cache.keep_coarse(
            3,
            Coarse {
                scores: scores(COARSE),
                edges_hz: 1e6 / 3.0,
            },
        );
        cache.keep_coarse(
            1,
            Coarse {
                scores: scores(f64::INFINITY),
                edges_hz: 0.0,
            },
        );
        cache.keep_full(3, scores(0.5));
    }

    #[test]
    fn a_later_search_goes_on_to_the_bit() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cache.jsonl");
        written(&path);
        let (cache, opened) = Cache::open(&path, "abc", 10).unwrap();
        assert_eq!(opened, Opened::Resumed(3));
        assert_eq!(
            cache.coarse(3),
            Some(Coarse {
                scores: scores(COARSE),
                edges_hz: 1e6 / 3.0
            })
        );
        assert_eq!(cache.coarse(1).unwrap().scores, scores(f64::INFINITY));
        assert_eq!((cache.full(3), cache.full(1)), (Some(scores(0.5)), None));
    }

    #[test]
    fn a_line_cut_short_is_dropped() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cache.jsonl");
        written(&path);
        let text = fs::read_to_string(&path).unwrap();
        fs::write(&path, &text[..text.len() - 5]).unwrap();
        assert_eq!(Cache::open(&path, "abc", 10).unwrap().1, Opened::Resumed(2));
    }

    #[test]
    fn another_luminaire_begins_anew() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cache.jsonl");
        written(&path);
        let (cache, opened) = Cache::open(&path, "other inputs", 10).unwrap();
        assert_eq!((opened, cache.coarse(3)), (Opened::New, None));
    }

    #[test]
    fn damage_is_ignored() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cache.jsonl");
        written(&path);
        let text = fs::read(&path).unwrap();
        let fault = |from: &str, to: &str| {
            let text = String::from_utf8(text.clone()).unwrap();
            assert!(text.contains(from));
            text.replacen(from, to, 1).into_bytes()
        };
        let faults = [
            fault("edges_hz", "edges"),
            fault("\"candidate\":3", "\"candidate\":10"),
            fault("explore_cache", "cache"),
            fault("0.5,", ""),
            vec![0xff, 0xfe],
        ];
        for fault in faults {
            fs::write(&path, &fault).unwrap();
            let (cache, opened) = Cache::open(&path, "abc", 10).unwrap();
            assert_eq!(opened, Opened::Ignored(path.clone()));
            assert!(cache.coarse(1).is_none() && cache.full(3).is_none());
            let again = Cache::open(&path, "abc", 10).unwrap().1;
            assert_eq!(again, Opened::Resumed(0), "it was written anew");
        }
    }
}
