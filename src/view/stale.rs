//! Two versions of one record side by side: what was typed, and what somebody else saved meanwhile.

use askama::Template;

use super::part::{Answer, Tone, html_parts};

/// A record as lines: what each is called, and what it says.
pub type Lines = Vec<(String, String)>;

/// Where the two versions differ.
#[derive(Clone, Debug, Template)]
#[template(path = "part/stale.html")]
pub struct Stale {
    /// That nothing was saved, and what to do.
    pub answer: Answer,
    /// The field, what was typed, what is stored.
    pub rows: Vec<(String, String, String)>,
}

html_parts!(Stale);

impl Stale {
    /// The lines in which the two differ.
    pub fn between(typed: Lines, mut stored: Lines) -> Self {
        let mut rows = Vec::new();
        for (name, mine) in typed {
            let at = stored.iter().position(|(other, _)| *other == name);
            let theirs = at.map(|at| stored.remove(at).1).unwrap_or_default();
            if mine.trim() != theirs.trim() {
                rows.push((name, mine, theirs));
            }
        }
        let left = stored.into_iter().filter(|(_, theirs)| !theirs.is_empty());
        rows.extend(left.map(|(name, theirs)| (name, String::new(), theirs)));
        Self {
            answer: Answer::new(Tone::Watch, "Not saved: somebody else saved first.").why(
                "What you typed is still in the form. Take over what you want to keep of the other \
                 version, then save again; that replaces it.",
            ),
            rows,
        }
    }
}
