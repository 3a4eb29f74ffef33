//! Why a command could not do its work: one message on standard error, exit code 2.

use super::COULD_NOT_JUDGE;
use crate::description::Problem;

/// A message that is ready to be shown.
pub(super) enum Failure {
    /// The description is at fault.
    Description(Problem),
    /// Anything else, one sentence.
    Plain(String),
}

impl Failure {
    pub(super) fn plain(message: impl Into<String>) -> Self {
        Self::Plain(message.into())
    }

    /// Shows it and gives the exit code.
    pub(super) fn report(self) -> u8 {
        match self {
            Self::Description(problem) => anstream::eprintln!("{}", problem.render(true)),
            Self::Plain(message) => anstream::eprintln!("error: {message}"),
        }
        COULD_NOT_JUDGE
    }
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        Self::Description(problem)
    }
}
