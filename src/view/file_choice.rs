//! The forms of file in which a page offers its rows.

use askama::Template;

use super::part::html_parts;

/// A choice of forms, folded until somebody asks for it.
#[derive(Clone, Debug, Template)]
#[template(path = "part/file_choice.html")]
pub struct FileChoice {
    words: String,
    links: Vec<(String, String)>,
}

impl FileChoice {
    /// Each form in words, and where it is.
    pub fn new(links: Vec<(String, String)>) -> Self {
        Self {
            words: "Take it along".to_owned(),
            links,
        }
    }

    /// The same for rows that are called so.
    #[must_use]
    pub fn named(mut self, words: impl Into<String>) -> Self {
        self.words = words.into();
        self
    }

    /// A choice to test with.
    pub fn sample() -> Self {
        let link = |word: &str| {
            (
                word.to_owned(),
                format!("/exports/items?q={}", super::PROBE),
            )
        };
        Self::new(vec![link("CSV"), link(super::PROBE)])
    }
}

html_parts!(FileChoice);
