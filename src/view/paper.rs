//! What can be printed and kept.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
    part::Tone,
};
use crate::domain::{FieldErrors, PaperSize, SpanDraft};

/// What the form sends once it was said which letters the file lacks.
pub const LETTERS_TOLD: &str = "told";

/// The page.
#[derive(Template)]
#[template(path = "paper/list.html")]
pub struct Papers {
    /// The frame.
    pub shell: Shell,
    form: Form,
    draft: SpanDraft,
    paper: &'static str,
    sizes: Choices,
    may_keep: bool,
    /// What the list of what falls due has no letters for.
    lacking: Option<String>,
    letters: &'static str,
}

impl Papers {
    /// The page with what was typed.
    pub fn new(
        shell: Shell,
        draft: SpanDraft,
        paper: PaperSize,
        may_keep: bool,
        wrong: &FieldErrors,
    ) -> Self {
        Self {
            shell,
            form: Form::new(wrong).failed("No file was made"),
            draft,
            paper: paper.key(),
            sizes: sizes(),
            may_keep,
            lacking: None,
            letters: "",
        }
    }

    /// The page with what the list that was asked for has no letters for; sent again, it is made all the same.
    #[must_use]
    pub fn with_lacking(mut self, words: String) -> Self {
        (self.lacking, self.letters) = (Some(words), LETTERS_TOLD);
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let draft = SpanDraft {
            from: PROBE.to_owned(),
            to: PROBE.to_owned(),
        };
        let wrong = FieldErrors::one("from", "date", PROBE);
        let page = |may_keep| {
            let shell = Shell::sample("Papers");
            Self::new(shell, draft.clone(), PaperSize::A4, may_keep, &wrong)
        };
        vec![page(true), page(false).with_lacking(PROBE.to_owned())]
    }
}

/// The sizes of paper to choose from.
pub(super) fn sizes() -> Choices {
    let sizes = PaperSize::ALL.map(|size| (size.key().to_owned(), size.word().to_owned()));
    sizes.into()
}
