//! The name that was probably meant.

use super::Problem;
use super::problem::{SHOWN, shown};

impl Problem {
    /// Lists the names that would do and the nearest of them to the one `written`.
    pub(super) fn one_of(self, written: &str, names: &[&str]) -> Self {
        let shown: Vec<String> = names.iter().map(|name| shown(name, SHOWN)).collect();
        let problem = self.allowed(shown.join(", "));
        match nearest(written, names) {
            Some(name) => problem.help(format!("did you mean `{name}`?")),
            None => problem,
        }
    }
}

/// The nearest name, if it is at most a third of its letters away.
fn nearest<'a>(written: &str, names: &[&'a str]) -> Option<&'a str> {
    if written.len() > SHOWN {
        return None;
    }
    names
        .iter()
        .map(|name| (strsim::osa_distance(written, name), *name))
        .filter(|(distance, name)| *distance <= name.len().max(written.len()) / 3)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}
