//! Findings: odd but usable data, told and never acted upon silently.

use super::seen;

/// How much a notice matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Good to know.
    Note,
    /// The result stands, but look at this before you rely on it.
    Warning,
    /// Work can hurt someone or damage something here.
    Caution,
}

/// One finding, with the place it is about.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// Short fixed name, kebab-case; a job may silence it by this.
    pub code: String,
    /// How much it matters.
    pub severity: Severity,
    /// File, sheet and cell, or a spot on the floor; empty when it is about the whole.
    pub place: String,
    /// What was found and what to do, in a sentence.
    pub text: String,
}

impl Notice {
    /// A notice with all its parts; place and text on one line each and without signs that steer text, whatever the cells hold that they name.
    pub fn new(
        code: &str,
        severity: Severity,
        place: impl Into<String>,
        text: impl Into<String>,
    ) -> Self {
        Self {
            code: code.to_owned(),
            severity,
            place: seen(&place.into()),
            text: seen(&text.into()),
        }
    }
}
