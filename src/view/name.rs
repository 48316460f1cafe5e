//! A name goes out of the records.

use askama::Template;

use super::{Shell, form::Form};
use crate::domain::{NameRemoval, NameRemovalDraft};

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
    /// The names that were removed before, the last first.
    pub removed: Vec<Removed>,
}

/// A name that was removed.
pub struct Removed {
    /// What stands in its place.
    pub instead: String,
    /// The entry of the removal.
    pub seq: u64,
    /// The entries in which it was typed.
    pub typed_in: Vec<u64>,
}

impl From<(u64, NameRemoval)> for Removed {
    fn from((seq, removal): (u64, NameRemoval)) -> Self {
        Self {
            instead: removal.instead().join(", "),
            seq,
            typed_in: removal.typed_in,
        }
    }
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
                removed: vec![Removed {
                    instead: PROBE.to_owned(),
                    seq: 9,
                    typed_in: vec![3, 4],
                }],
            })
            .into()
    }
}
