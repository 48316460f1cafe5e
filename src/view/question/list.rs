//! The questions.

use askama::Template;

use super::{super::Shell, href};
use crate::domain::question::Question;

/// The page.
#[derive(Template)]
#[template(path = "question/list.html")]
pub struct QuestionList {
    /// The frame.
    pub shell: Shell,
    rows: Vec<(&'static str, String, &'static str)>,
}

impl QuestionList {
    /// The page.
    pub fn new(shell: Shell) -> Self {
        Self {
            shell,
            rows: Question::ALL
                .map(|one| (one.title(), href(one), one.asks()))
                .into(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        vec![Self::new(Shell::sample("Questions"))]
    }
}
