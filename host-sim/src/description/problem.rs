//! What is wrong with a file, shown so that it can be mended: one problem, its place, what is allowed.

use annotate_snippets::{AnnotationKind, Level, Origin, Renderer, Snippet};
use std::fmt;
use std::ops::Range;

/// The first thing that is wrong with a luminaire's file.
#[derive(Clone, PartialEq, Eq)]
pub struct Problem(Box<Parts>);

#[derive(Clone, Default, PartialEq, Eq)]
struct Parts {
    title: String,
    key: Option<String>,
    span: Option<Range<usize>>,
    allowed: Option<String>,
    help: Option<String>,
    origin: String,
    text: String,
}

impl Problem {
    pub(super) fn new(title: impl Into<String>) -> Self {
        Self(Box::new(Parts {
            title: title.into(),
            ..Parts::default()
        }))
    }

    pub(super) fn about(mut self, key: String) -> Self {
        self.0.key = Some(key);
        self
    }

    pub(super) fn at(mut self, span: Range<usize>) -> Self {
        self.0.span = Some(span);
        self
    }

    pub(super) fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.0.allowed = Some(allowed.into());
        self
    }

    pub(super) fn help(mut self, help: impl Into<String>) -> Self {
        self.0.help = Some(help.into());
        self
    }

    /// The file that it was first seen in stays: that of a log, not of the luminaire that names it.
    pub(super) fn seen_in(mut self, origin: &str, text: &str) -> Self {
        if !self.0.origin.is_empty() {
            return self;
        }
        self.0.origin = shown(origin, usize::MAX);
        text.clone_into(&mut self.0.text);
        self
    }

    /// What is wrong, in one line.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.0.title
    }

    /// The key that it is about, with the tables around it: `channels.flux_lm`.
    #[must_use]
    pub fn key(&self) -> Option<&str> {
        self.0.key.as_deref()
    }

    /// What the file may say instead.
    #[must_use]
    pub fn allowed_text(&self) -> Option<&str> {
        self.0.allowed.as_deref()
    }

    /// What would mend it: for a missing key the very line to add.
    #[must_use]
    pub fn help_text(&self) -> Option<&str> {
        self.0.help.as_deref()
    }

    /// Line in the file, from 1; none when the file could not be read.
    #[must_use]
    pub fn line(&self) -> Option<usize> {
        Some(self.before()?.matches('\n').count() + 1)
    }

    /// Column in characters, from 1; none when the file could not be read.
    #[must_use]
    pub fn column(&self) -> Option<usize> {
        let line = self.before()?.rsplit('\n').next()?;
        Some(line.chars().count() + 1)
    }

    fn before(&self) -> Option<&str> {
        self.0.text.get(..self.0.span.as_ref()?.start)
    }

    /// The whole message for a terminal, several lines without a last line break.
    #[must_use]
    pub fn render(&self, colour: bool) -> String {
        let parts = &*self.0;
        let title = Level::ERROR.primary_title(&parts.title);
        let label = parts
            .allowed
            .as_ref()
            .map(|allowed| format!("allowed: {allowed}"));
        let group = match &parts.span {
            Some(span) => title.element(
                Snippet::source(&parts.text)
                    .path(&parts.origin)
                    .annotation(AnnotationKind::Primary.span(span.clone()).label(label)),
            ),
            None => title
                .element(Origin::path(&parts.origin))
                .elements(label.map(|label| Level::NOTE.message(label))),
        };
        let group = group.elements(parts.help.as_ref().map(|help| Level::HELP.message(help)));
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        renderer.render(&[group])
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.render(false))
    }
}

impl fmt::Debug for Problem {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, formatter)
    }
}

impl std::error::Error for Problem {}

/// How much of a name from the file a message shows.
pub(super) const SHOWN: usize = 60;

/// A piece of the file as it may stand in a message: no control characters, not endless.
pub(super) fn shown(text: &str, longest: usize) -> String {
    let mut shown: String = text
        .chars()
        .take(longest)
        .flat_map(char::escape_debug)
        .collect();
    if text.chars().nth(longest).is_some() {
        shown.push('…');
    }
    shown
}
