//! Reporting what happened to an item.

use askama::Template;

use super::{
    Shell, attribute,
    form::{Choices, Form},
};
use crate::domain::{EventDraft, EventId, EventKind, FieldErrors, Item};

/// The form.
#[derive(Template)]
#[template(path = "event/new.html")]
pub struct NewEvent {
    /// The frame.
    pub shell: Shell,
    form: Form,
    href: String,
    action: String,
    mark: String,
    kinds: Choices,
    draft: EventDraft,
}

impl NewEvent {
    /// The form with what was typed.
    pub fn new(
        shell: Shell,
        id: EventId,
        item: &Item,
        draft: &EventDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let href = format!("/items/{}", item.id);
        let mut kinds: Choices = EventKind::ALL
            .map(|kind| (kind.key().to_owned(), format!("It {}", kind.word())))
            .into();
        kinds.insert(0, (String::new(), "Choose".to_owned()));
        Self {
            shell,
            form: Form::new(wrong),
            action: format!("{href}/events?id={id}"),
            href,
            mark: item.mark.clone(),
            kinds: attribute::keeping(kinds, &draft.kind),
            draft: draft.clone(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let draft = EventDraft {
            kind: PROBE.to_owned(),
            on: PROBE.to_owned(),
            note: PROBE.to_owned(),
        };
        let wrong = FieldErrors::one("note", "required", PROBE);
        let (event, item) = (gear::event(), gear::item());
        vec![Self::new(
            Shell::sample("Event"),
            event.id,
            &item,
            &draft,
            &wrong,
        )]
    }
}
