//! What can be printed and kept.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
};
use crate::domain::{FieldErrors, PaperSize, SpanDraft};

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
        }
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
        vec![page(true), page(false)]
    }
}

/// The sizes of paper to choose from.
pub(super) fn sizes() -> Choices {
    let sizes = PaperSize::ALL.map(|size| (size.key().to_owned(), size.word().to_owned()));
    sizes.into()
}
