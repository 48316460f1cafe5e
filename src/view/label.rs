//! Labels: which items, which code, and where they are on the paper.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
    paper::sizes,
};
use crate::domain::{FieldErrors, LabelDraft, SMALLEST_MODULE, SymbolKind};

/// The form.
#[derive(Template)]
#[template(path = "label/new.html")]
pub struct LabelForm {
    /// The frame.
    pub shell: Shell,
    form: Form,
    draft: LabelDraft,
    codes: Choices,
    holds: Choices,
    papers: Choices,
    known: bool,
}

impl LabelForm {
    /// The form with what was typed; `known` is whether the server knows under which address people reach it.
    pub fn new(shell: Shell, draft: &LabelDraft, known: bool, wrong: &FieldErrors) -> Self {
        let choice = |key: &str, words: &str| (key.to_owned(), words.to_owned());
        let codes = SymbolKind::ALL.map(|kind| choice(kind.key(), kind.word()));
        let mut papers = sizes();
        papers.push(choice("roll", "a roll: one label a page"));
        Self {
            shell,
            form: Form::new(wrong).failed("No labels were made"),
            draft: draft.clone(),
            codes: codes.into(),
            holds: vec![
                choice("address", "the address of the item, which a phone opens"),
                choice("code", "the short code alone, which takes less room"),
            ],
            papers,
            known,
        }
    }

    fn finest(&self) -> f32 {
        SMALLEST_MODULE
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let draft = LabelDraft {
            marks: PROBE.to_owned(),
            width: PROBE.to_owned(),
            ..LabelDraft::default()
        };
        let wrong = FieldErrors::one("marks", "choice", PROBE);
        let page = |known| Self::new(Shell::sample("Labels"), &draft, known, &wrong);
        vec![page(true), page(false)]
    }
}
