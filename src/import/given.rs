//! What a person says once for many rows: what they have seen of the items, and what holds for a model.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};
use time::Date;

use super::answer::Answers;
use super::field::{Field, attributes_named};
use crate::domain::date::{read_day, write_day};
use crate::domain::entered::EnteredForce;
use crate::domain::{FieldErrors, fold};

/// What can be said of all items at once, by the reason for which every job would refuse them otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SeenOf {
    /// That their markings can be read.
    MarkingsUnknown,
    /// That they were examined when they came in, and were fit.
    NeverExamined,
    /// That they were examined since the list was written, and were fit.
    Overdue,
}

impl SeenOf {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::MarkingsUnknown, Self::NeverExamined, Self::Overdue];

    /// The word for programs: the reason that it mends.
    pub fn key(self) -> &'static str {
        match self {
            Self::MarkingsUnknown => "markings-unknown",
            Self::NeverExamined => "never-examined",
            Self::Overdue => "overdue",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|of| of.key() == key.trim())
    }

    /// What is said, in the words of the one who says it.
    pub fn statement(self, items: &str) -> String {
        match self {
            Self::MarkingsUnknown => {
                format!("I have seen {items}, and the markings of each can be read")
            }
            Self::NeverExamined => {
                format!(
                    "{items} had an intake examination on the day below, and each was found fit"
                )
            }
            Self::Overdue => {
                format!(
                    "{items} had a periodic examination on the day below, and each was found fit"
                )
            }
        }
    }

    /// What is recorded where it is said.
    pub fn recorded(self) -> &'static str {
        match self {
            Self::MarkingsUnknown => {
                "Each item's record will say that its markings can be read, and its note who saw them and when."
            }
            Self::NeverExamined => {
                "An intake examination will be recorded for each item: this day, this examiner, the verdict fit, and that it was said for all of them at once."
            }
            Self::Overdue => {
                "A periodic examination will be recorded for each item: this day, this examiner, the verdict fit, and that it was said for all of them at once."
            }
        }
    }
}

/// Who has seen something, and when.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Seen {
    /// Who, by name; empty is whoever takes the list in.
    pub by: String,
    /// The day.
    pub on: String,
    /// The rows that were seen; none are all that need it.
    pub rows: BTreeSet<u32>,
}

/// Whether one answer may fill a field for all rows of a model.
pub(super) fn fills(field: Field) -> bool {
    matches!(
        field,
        Field::Standard | Field::RatedLoad | Field::Strength(..) | Field::Attribute(_)
    )
}

/// Why a text cannot be what holds for a model; nothing if it can.
pub fn wrong_for_model(field: Field, text: &str) -> Option<(&'static str, String)> {
    if !fills(field) {
        let message = format!(
            "\"{}\" is not said for a model at once; write it in the list.",
            field.label()
        );
        return Some(("choice", message));
    }
    match field {
        Field::Attribute(key) => attributes_named(key)
            .next()
            .and_then(|attribute| attribute.read(text).err()),
        Field::Strength(..) => EnteredForce::read(text, None)
            .err()
            .map(|error| ("unit", error.to_string())),
        _ => {
            let mut wrong = FieldErrors::default();
            wrong.line("", text);
            wrong.0.pop().map(|error| ("text", error.message))
        }
    }
}

impl Answers {
    /// What was said of a model where the list says nothing.
    pub(super) fn of_model(&self, title: &str) -> impl Iterator<Item = (Field, &str)> {
        let title = fold(title);
        let said = self.models.iter().filter(move |(of, _)| fold(of) == title);
        said.flat_map(|(_, fields)| fields)
            .filter_map(|(key, text)| Some((Field::from_key(key)?, text.trim())))
            .filter(|(field, text)| fills(*field) && !text.is_empty())
    }

    /// Whether what was said once for many rows can hold.
    ///
    /// # Errors
    /// Every field that does not: `seen[reason][on]`, `models[title][field]`.
    pub fn check(&self, today: Date) -> Result<(), FieldErrors> {
        let mut wrong = FieldErrors::default();
        for (of, seen) in &self.seen {
            wrong.nest(&format!("seen[{}]", of.key()), seen.wrong(today));
        }
        for (title, fields) in &self.models {
            for (key, text) in fields.iter().filter(|(_, text)| !text.trim().is_empty()) {
                let name = format!("models[{title}][{key}]");
                match Field::from_key(key) {
                    None => wrong.add(name, "choice", format!("\"{key}\" is no field.")),
                    Some(field) => {
                        if let Some((code, message)) = wrong_for_model(field, text) {
                            wrong.add(name, code, message);
                        }
                    }
                }
            }
        }
        wrong.or(|| ())
    }
}

impl Seen {
    fn wrong(&self, today: Date) -> FieldErrors {
        let mut wrong = FieldErrors::default();
        wrong.optional_line("by", &self.by);
        match read_day(&self.on) {
            _ if self.on.trim().is_empty() => {
                wrong.add("on", "required", "Write the day on which it was seen.");
            }
            Err(error) => wrong.add("on", "date", error.to_string()),
            Ok(on) if on > today => wrong.add(
                "on",
                "range",
                format!(
                    "This must not be after today, {}, as {} is.",
                    write_day(today),
                    write_day(on)
                ),
            ),
            Ok(_) => {}
        }
        wrong
    }
}
