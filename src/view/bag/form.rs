//! The form of the list of a bag.

use askama::Template;

use super::{
    super::{
        Shell,
        form::{Choices, Form},
        stale::Stale,
    },
    sample,
};
use crate::domain::{BagDraft, FieldErrors, InPlace};

/// The form.
#[derive(Template)]
#[template(path = "bag/form.html")]
pub struct BagForm {
    /// The frame.
    pub shell: Shell,
    name: String,
    base: String,
    revision: u32,
    form: Form,
    draft: BagDraft,
    stores: Choices,
    stale: Option<Stale>,
}

impl BagForm {
    /// The form with what was typed.
    pub fn new(shell: Shell, place: &InPlace, draft: &BagDraft, wrong: &FieldErrors) -> Self {
        let others = place.stores.iter();
        let others = others.filter(|store| store.id != place.store.id);
        let mut stores: Choices = vec![(String::new(), "By itself".to_owned())];
        stores.extend(others.map(|store| (store.id.to_string(), store.name.clone())));
        Self {
            name: place.store.name.clone(),
            base: format!("/stores/{}", place.store.id),
            revision: place.bag.as_ref().map_or(0, |bag| bag.revision),
            form: Form::new(wrong),
            draft: draft.clone(),
            stores,
            stale: None,
            shell,
        }
    }

    /// The same, beside what somebody else saved meanwhile.
    #[must_use]
    pub fn beside(mut self, stored: &BagDraft) -> Self {
        let lines = |draft: &BagDraft| {
            vec![
                ("Lies in".to_owned(), draft.within.clone()),
                ("What belongs in it".to_owned(), draft.list.clone()),
            ]
        };
        self.stale = Some(Stale::between(lines(&self.draft), lines(stored)));
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::PROBE;
        let place = sample();
        let typed = BagDraft {
            within: PROBE.to_owned(),
            list: PROBE.to_owned(),
        };
        let wrong = FieldErrors::one("list", "choice", PROBE);
        let page = |draft: &BagDraft| Self::new(Shell::sample("List"), &place, draft, &wrong);
        vec![page(&place.draft()), page(&typed).beside(&place.draft())]
    }
}
