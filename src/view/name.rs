//! A name goes out of the records.

use askama::Template;

use super::{Shell, form::Form};
use crate::domain::NameRemovalDraft;

/// Removes a name.
#[derive(Template)]
#[template(path = "person/names.html")]
pub struct RemoveName {
    /// The frame.
    pub shell: Shell,
    /// What was wrong.
    pub form: Form,
    /// What was typed.
    pub draft: NameRemovalDraft,
    /// The name of the account, if it is one.
    pub who: Option<String>,
}

impl RemoveName {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        use crate::domain::FieldErrors;
        [None, Some(PROBE.to_owned())]
            .map(|who| Self {
                shell: Shell::sample("Remove a name"),
                form: Form::new(&FieldErrors::one("name", "unknown", PROBE)),
                draft: NameRemovalDraft {
                    person: PROBE.to_owned(),
                    name: PROBE.to_owned(),
                    reason: PROBE.to_owned(),
                },
                who,
            })
            .into()
    }
}
