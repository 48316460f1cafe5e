//! What is noted of the items of a list: a line that many have alike is told once, beside them.

use std::collections::BTreeMap;

use askama::Template;

use crate::{domain::Item, view::part::html_parts};

/// From how many items on a line is told once.
const MANY: usize = 3;

/// The lines that many items have alike, each with the marks of those items.
#[derive(Clone, Debug, Default, PartialEq, Eq, Template)]
#[template(path = "job/noted.html")]
pub struct Noted {
    /// The line, and the marks.
    pub lines: Vec<(String, String)>,
}

html_parts!(Noted);

impl Noted {
    /// What these items have alike.
    pub fn of<'a>(items: impl IntoIterator<Item = &'a Item>) -> Self {
        let mut found: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for item in items {
            for line in lines(&item.note) {
                let marks = found.entry(line).or_default();
                if marks.last() != Some(&item.mark.as_str()) {
                    marks.push(&item.mark);
                }
            }
        }
        let alike = found.into_iter().filter(|(_, marks)| marks.len() >= MANY);
        Self {
            lines: alike
                .map(|(line, marks)| (line.to_owned(), marks.join(", ")))
                .collect(),
        }
    }

    /// What is left of a note beside what is told once.
    pub fn own(&self, note: &str) -> String {
        let own = lines(note).filter(|line| !self.lines.iter().any(|(told, _)| told == line));
        own.collect::<Vec<_>>().join("\n")
    }

    /// Lines to test with.
    pub fn sample(probe: &str) -> Self {
        Self {
            lines: vec![(probe.to_owned(), probe.to_owned())],
        }
    }
}

fn lines(note: &str) -> impl Iterator<Item = &str> {
    note.lines().map(str::trim).filter(|line| !line.is_empty())
}
