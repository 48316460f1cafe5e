//! Labels: which items, which code, and where they are on the paper.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
    item::ItemList,
    paper::sizes,
};
use crate::domain::{FieldErrors, LabelDraft, MOST_LABELS, SMALLEST_MODULE, Store, SymbolKind};

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
    /// The stores whose marks can be taken over.
    stores: Choices,
    /// Whether the list had more items than one file takes.
    more: bool,
}

impl LabelForm {
    /// The form with what was typed; `known` is whether the server knows under which address people reach it.
    pub fn new(
        shell: Shell,
        draft: &LabelDraft,
        known: bool,
        (stores, wrong): (&[Store], &FieldErrors),
    ) -> Self {
        let choice = |key: &str, words: &str| (key.to_owned(), words.to_owned());
        let codes = SymbolKind::ALL.map(|kind| choice(kind.key(), kind.word()));
        let mut papers = sizes();
        papers.push(choice("roll", "a roll: one label a page"));
        Self {
            shell,
            form: Form::new(wrong).failed("No labels were made"),
            draft: draft.clone(),
            codes: codes.into(),
            holds: [
                known.then(|| choice("address", "the item's address, for phones")),
                Some(choice("code", "the short code alone")),
            ]
            .into_iter()
            .flatten()
            .collect(),
            papers,
            known,
            stores: ItemList::stores(stores),
            more: false,
        }
    }

    /// The same, where the list that it was opened from has more items than one file takes.
    #[must_use]
    pub fn cut_short(mut self) -> Self {
        self.more = true;
        self
    }

    fn most(&self) -> usize {
        MOST_LABELS
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
        let stores = [super::gear::store()];
        let page = |known| Self::new(Shell::sample("Labels"), &draft, known, (&stores, &wrong));
        vec![page(true).cut_short(), page(false)]
    }
}
