//! Something that happened to an item.

use serde::{Deserialize, Serialize};
use time::Date;

use super::consequence::{Follows, consequences};
use super::date::{iso, write_day};
use super::item::past_day;
use super::{EventId, FieldErrors, ItemId, Model, PersonId};

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum EventKind {
    /// It stopped a fall.
    FallHeld,
    /// It met a chemical.
    Chemical,
    /// It was dropped, or something light dropped on it.
    Drop,
    /// A load fell or swung against it.
    Struck,
    /// It met heat or a flame.
    Heat,
    /// It carried more than it may.
    Overload,
    /// It was out of the team's sight: lent, left behind, lost and found.
    LostSight,
    /// It lay in water.
    Water,
}

impl EventKind {
    /// All kinds.
    pub const ALL: [Self; 8] = [
        Self::FallHeld,
        Self::Chemical,
        Self::Drop,
        Self::Struck,
        Self::Heat,
        Self::Overload,
        Self::LostSight,
        Self::Water,
    ];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::FallHeld => "fall-held",
            Self::Chemical => "chemical",
            Self::Drop => "drop",
            Self::Struck => "struck",
            Self::Heat => "heat",
            Self::Overload => "overload",
            Self::LostSight => "lost-sight",
            Self::Water => "water",
        }
    }

    /// The words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::FallHeld => "held a fall",
            Self::Chemical => "met a chemical",
            Self::Drop => "was dropped or hit",
            Self::Struck => "took a load that fell or swung",
            Self::Heat => "met heat or flame",
            Self::Overload => "was overloaded",
            Self::LostSight => "was out of sight",
            Self::Water => "was under water",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key.trim())
    }
}

/// Something that happened to an item, and what followed from it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Event {
    /// Its id.
    pub id: EventId,
    /// The item.
    pub item: ItemId,
    /// What happened.
    pub kind: EventKind,
    /// The day it happened.
    #[serde(with = "iso")]
    pub on: Date,
    /// Who reported it.
    pub reported_by: PersonId,
    /// What is known of it.
    pub note: String,
    /// What followed; nothing was kept of that before there were rules for it, and the item was held until somebody
    /// decided.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub follows: Option<Follows>,
}

impl Event {
    /// What happened and when, with what is known of it: "on 2026-11-20 it held a fall (at the edge)".
    pub fn in_words(&self) -> String {
        let note = match self.note.trim() {
            "" => String::new(),
            note => format!(" ({note})"),
        };
        format!("on {} it {}{note}", write_day(self.on), self.kind.word())
    }

    /// The event with what follows from it for an item of the model.
    #[must_use]
    pub fn following(mut self, model: &Model) -> Self {
        self.follows = Some(consequences(self.kind, model).follows());
        self
    }
}

/// That an item is held for something that happened to it. It ends with the return of the item alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct EventHold {
    /// The day of the last event.
    #[serde(with = "iso")]
    pub since: Date,
    /// Whether an after-event examination on that day or later found it fit.
    pub examined: bool,
}

/// An event as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct EventDraft {
    /// The kind's key.
    pub kind: String,
    /// The day it happened.
    pub on: String,
    /// What is known of it.
    pub note: String,
}

impl EventDraft {
    /// The event that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(
        &self,
        id: EventId,
        item: ItemId,
        reported_by: PersonId,
        today: Date,
    ) -> Result<Event, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let kind = EventKind::from_key(&self.kind);
        if kind.is_none() {
            wrong.add(
                "kind",
                "choice",
                format!(
                    "Choose what happened from the list, not \"{}\".",
                    self.kind.trim()
                ),
            );
        }
        let on = past_day(&mut wrong, "on", &self.on, today);
        if self.on.trim().is_empty() {
            wrong.add("on", "required", "Write the day on which it happened.");
        }
        let note = wrong.account("note", &self.note);
        match (kind, on) {
            (Some(kind), Some(on)) if wrong.is_empty() => Ok(Event {
                id,
                item,
                kind,
                on,
                reported_by,
                note,
                follows: None,
            }),
            _ => Err(wrong),
        }
    }
}
