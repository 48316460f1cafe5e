//! What kind of gear a new model is: the form follows from it.

use askama::Template;

use super::super::Shell;
use crate::domain::Kind;

/// The kinds to choose from.
#[derive(Template)]
#[template(path = "model/kind.html")]
pub struct KindPick {
    /// The frame.
    pub shell: Shell,
}

impl KindPick {
    fn kinds(&self) -> &'static [Kind] {
        Kind::ALL
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        vec![Self {
            shell: Shell::sample("Add model"),
        }]
    }
}
