//! Stores: where items live.

use askama::Template;

use super::{Shell, form::Form, part::Empty, stale::Stale, words};
use crate::domain::{FieldErrors, Store, StoreDraft, StoreId};

/// One store of the list.
#[derive(Clone, Debug)]
pub struct PlaceRow {
    name: String,
    href: String,
    within: String,
    note: String,
    items: String,
    items_href: String,
    edit: String,
}

impl PlaceRow {
    /// A store with the number of its items that are not retired.
    pub fn new(store: &Store, items: u64, within: Option<&Store>) -> Self {
        let items = usize::try_from(items).unwrap_or(usize::MAX);
        Self {
            name: store.name.clone(),
            href: format!("/stores/{}", store.id),
            within: within.map(|store| store.name.clone()).unwrap_or_default(),
            note: store.note.clone(),
            items: words::count(items, "item", "items"),
            items_href: format!("/items?store={}", store.id),
            edit: format!("/stores/{}/edit", store.id),
        }
    }
}

/// The list.
#[derive(Template)]
#[template(path = "place/list.html")]
pub struct PlaceList {
    /// The frame.
    pub shell: Shell,
    /// The stores.
    pub rows: Vec<PlaceRow>,
    /// What to do where there is none.
    pub empty: Empty,
    /// Whether this person may add and change stores.
    pub may_keep: bool,
}

impl PlaceList {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::gear;
        let page = |rows, may_keep| Self {
            shell: Shell::sample("Stores"),
            rows,
            empty: Empty::new("No stores.", "Add one."),
            may_keep,
        };
        let row = PlaceRow::new(&gear::store(), 12, Some(&gear::store()));
        vec![page(vec![row], true), page(Vec::new(), false)]
    }
}

/// Which store the form is about.
#[derive(Clone, Copy, Debug)]
pub enum PlaceTarget {
    /// A new one, under an id that was made when the form was opened.
    New(StoreId),
    /// One that is there, with the revision that was opened.
    There(StoreId, u32),
}

/// The form.
#[derive(Template)]
#[template(path = "place/form.html")]
pub struct PlaceForm {
    /// The frame.
    pub shell: Shell,
    form: Form,
    action: String,
    revision: Option<u32>,
    draft: StoreDraft,
    stale: Option<Stale>,
}

impl PlaceForm {
    /// The form with what was typed.
    pub fn new(shell: Shell, target: PlaceTarget, draft: &StoreDraft, wrong: &FieldErrors) -> Self {
        let (action, revision) = match target {
            PlaceTarget::New(id) => (format!("/stores?id={id}"), None),
            PlaceTarget::There(id, revision) => (format!("/stores/{id}"), Some(revision)),
        };
        Self {
            shell,
            form: Form::new(wrong),
            action,
            revision,
            draft: draft.clone(),
            stale: None,
        }
    }

    /// The same, beside what somebody else saved meanwhile.
    #[must_use]
    pub fn beside(mut self, stored: &StoreDraft) -> Self {
        let lines = |draft: &StoreDraft| {
            vec![
                ("Name".to_owned(), draft.name.clone()),
                ("Note".to_owned(), draft.note.clone()),
            ]
        };
        self.stale = Some(Stale::between(lines(&self.draft), lines(stored)));
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let draft = StoreDraft {
            name: PROBE.to_owned(),
            note: PROBE.to_owned(),
        };
        let wrong = FieldErrors::one("name", "taken", PROBE);
        let id = gear::store().id;
        let new = |target| Self::new(Shell::sample("Store"), target, &draft, &wrong);
        vec![
            new(PlaceTarget::New(id)),
            new(PlaceTarget::There(id, 2)).beside(&StoreDraft::default()),
        ]
    }
}
