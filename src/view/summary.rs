//! All that is wrong in a form, on top of it.

use std::{
    collections::BTreeMap,
    fmt,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

use askama::Template;

use super::part::html_parts;
use crate::domain::FieldError;

/// The labels of the fields that were written so far and in which something is wrong, by their names.
#[derive(Clone, Debug, Default)]
pub(super) struct Labels(Arc<Mutex<BTreeMap<String, String>>>);

impl Labels {
    /// Notes the label of a field as it is written.
    pub(super) fn note(&self, name: &str, label: &str) {
        self.known().insert(name.to_owned(), label.to_owned());
    }

    /// What is wrong, with the label of its field before it where that is known.
    pub(super) fn said(&self, error: &FieldError) -> String {
        match self.known().get(&error.field) {
            Some(label) => format!("{label}: {}", error.message),
            None => error.message.clone(),
        }
    }

    fn known(&self) -> MutexGuard<'_, BTreeMap<String, String>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// All that is wrong in a form, each line leading to its field.
#[derive(Clone, Debug)]
pub struct Summary {
    /// What did not happen: "Nothing was saved".
    pub failed: &'static str,
    /// Where each field is, and what is wrong in it.
    pub lines: Vec<(String, String)>,
    /// Another page on which it is mended, and what that is called.
    pub mends: Option<(&'static str, &'static str)>,
}

#[derive(Template)]
#[template(path = "part/summary.html")]
struct SummaryPart<'a> {
    words: String,
    lines: &'a [(String, String)],
    mends: Option<(&'static str, &'static str)>,
}

impl fmt::Display for Summary {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.lines.is_empty() {
            return Ok(());
        }
        let words = match self.lines.len() {
            1 => format!("{}: one thing to mend.", self.failed),
            n => format!("{}: {n} things to mend.", self.failed),
        };
        SummaryPart {
            words,
            lines: &self.lines,
            mends: self.mends,
        }
        .fmt(f)
    }
}

html_parts!(Summary);
