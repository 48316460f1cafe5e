//! All that is wrong in a form, on top of it.

use std::fmt;

use askama::Template;

use super::part::html_parts;

/// All that is wrong in a form, each line leading to its field.
#[derive(Clone, Debug)]
pub struct Summary {
    /// What did not happen: "Nothing was saved".
    pub failed: &'static str,
    /// Where each field is, and what is wrong in it.
    pub lines: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "part/summary.html")]
struct SummaryPart<'a> {
    words: String,
    lines: &'a [(String, String)],
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
        }
        .fmt(f)
    }
}

html_parts!(Summary);
