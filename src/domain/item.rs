//! One physical thing: what is known of it, and how it is typed in.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use time::{Date, OffsetDateTime};

use super::attribute::{Attributes, Where};
use super::date::{Made, in_reach, iso, read_day, write_day};
use super::rating::optional;
use super::{
    CutFrom, CutInto, EventHold, FieldErrors, ItemId, ItemState, LookAsked, Model, ModelId,
    Retirement, ReturnAsked, StoreId, UsageSums, UseShown,
};

/// One physical thing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Item {
    /// Its id.
    pub id: ItemId,
    /// Counts the changes, from 1; a stale edit names an older one.
    pub revision: u32,
    /// What it is one of.
    pub model: ModelId,
    /// The team's own mark on it; unique in the team.
    pub mark: String,
    /// Where it lives.
    pub store: StoreId,
    /// The maker's serial.
    pub serial: Option<String>,
    /// The lot it was made in.
    pub lot: Option<String>,
    /// When it was made, as exactly as known.
    pub made: Option<Made>,
    /// The day it was bought.
    #[serde(with = "iso::option")]
    pub bought_on: Option<Date>,
    /// When it was first used, as exactly as known.
    #[serde(default)]
    pub first_used_on: Option<Made>,
    /// Whether its markings can be read; nobody may have looked yet.
    pub markings_readable: Option<bool>,
    /// What else is written down about this one.
    pub attributes: Attributes,
    /// Why its use is arduous, such as salt water or grit every day; none is usual use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arduous: Option<String>,
    /// A note.
    pub note: String,
    /// The state it is in.
    pub state: ItemState,
    /// Why it is in this state.
    pub state_reason: String,
    /// Since when.
    #[serde(with = "time::serde::rfc3339")]
    pub state_since: OffsetDateTime,
    /// When the next examination is due, as the last one said.
    #[serde(with = "iso::option")]
    pub next_due_on: Option<Date>,
    /// The last day on which it passed an examination of a kind that counts.
    #[serde(with = "iso::option")]
    pub last_passed_on: Option<Date>,
    /// What was logged of its use, and of that of the ropes that it was part of.
    #[serde(default, skip_serializing_if = "UsageSums::is_nothing")]
    pub usage: UsageSums,
    /// That it is held for something that happened to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub event_hold: Option<EventHold>,
    /// The ropes that it was part of, if it was cut off one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_from: Option<CutFrom>,
    /// What it was cut into; then it is no item of its own any more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_into: Option<CutInto>,
    /// When it was retired, and for what.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub retired: Option<Retirement>,
    /// That a competent person asked for its return from quarantine, until another one confirms it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub return_asked: Option<ReturnAsked>,
    /// That whoever counted it back from a job wants it looked at; no job takes it until somebody competent has.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub look_asked: Option<LookAsked>,
    /// The earliest use that the record shows, of itself and of the ropes that it was part of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub use_shown: Option<UseShown>,
}

impl Item {
    /// The item as it would be typed.
    pub fn draft(&self) -> ItemDraft {
        let day = |date: Option<Date>| date.map(write_day).unwrap_or_default();
        ItemDraft {
            model: self.model.to_string(),
            mark: self.mark.clone(),
            store: self.store.to_string(),
            serial: self.serial.clone().unwrap_or_default(),
            lot: self.lot.clone().unwrap_or_default(),
            made: self.made.map(|made| made.to_string()).unwrap_or_default(),
            bought_on: day(self.bought_on),
            first_used_on: (self.first_used_on)
                .map(|first| first.to_string())
                .unwrap_or_default(),
            markings_readable: match self.markings_readable {
                Some(true) => "yes",
                Some(false) => "no",
                None => "",
            }
            .to_owned(),
            attributes: self.attributes.typed(),
            arduous: self.arduous.clone().unwrap_or_default(),
            note: self.note.clone(),
        }
    }
}

/// An item as typed in; quantities are texts with their unit.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ItemDraft {
    /// The model's id.
    pub model: String,
    /// The team's own mark.
    pub mark: String,
    /// The store's id.
    pub store: String,
    /// The maker's serial.
    pub serial: String,
    /// The lot.
    pub lot: String,
    /// Day, month or year made.
    pub made: String,
    /// The day bought.
    pub bought_on: String,
    /// Day, month or year of first use.
    pub first_used_on: String,
    /// `yes`, `no`, or empty where nobody looked.
    pub markings_readable: String,
    /// What else is written down, by key.
    pub attributes: BTreeMap<String, String>,
    /// Why its use is arduous; empty is usual use.
    pub arduous: String,
    /// A note.
    pub note: String,
}

/// What an item's draft says once it holds; identity and state are added by the deed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ItemDetails {
    /// What it is one of.
    pub model: ModelId,
    /// The team's own mark.
    pub mark: String,
    /// Where it lives.
    pub store: StoreId,
    /// The maker's serial.
    pub serial: Option<String>,
    /// The lot.
    pub lot: Option<String>,
    /// When it was made.
    pub made: Option<Made>,
    /// The day it was bought.
    #[serde(with = "iso::option")]
    pub bought_on: Option<Date>,
    /// When it was first used.
    #[serde(default)]
    pub first_used_on: Option<Made>,
    /// Whether its markings can be read.
    pub markings_readable: Option<bool>,
    /// What else is written down.
    pub attributes: Attributes,
    /// Why its use is arduous.
    #[serde(default)]
    pub arduous: Option<String>,
    /// A note.
    pub note: String,
}

impl ItemDraft {
    /// What was typed in, for an item of `model` living in `store`.
    ///
    /// The deed looks both up first, since a draft only names them.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(
        &self,
        model: Option<&Model>,
        store: Option<StoreId>,
        today: Date,
    ) -> Result<ItemDetails, FieldErrors> {
        let mut wrong = FieldErrors::default();
        if model.is_none() {
            wrong.add("model", "choice", "Choose a model from the list.");
        }
        if store.is_none() {
            wrong.add("store", "choice", "Choose a store from the list.");
        }
        let mark = wrong.line("mark", &self.mark);
        let serial = wrong.optional_line("serial", &self.serial);
        let lot = wrong.optional_line("lot", &self.lot);
        let made = self.made(&mut wrong, today);
        let bought_on = past_day(&mut wrong, "bought_on", &self.bought_on, today);
        if let (Some(made), Some(bought)) = (made, bought_on)
            && bought < made.cautious_day()
        {
            let bought = write_day(bought);
            let sentence =
                format!("It cannot be bought before it was made, {made}, as {bought} is.");
            wrong.add("bought_on", "range", sentence);
        }
        let first_used_on = self.first_used(&mut wrong, made, today);
        let markings_readable = readable(&mut wrong, &self.markings_readable);
        let attributes = model
            .map(|model| Attributes::check(model.kind, Where::Item, &self.attributes, &mut wrong))
            .unwrap_or_default();
        let arduous = wrong.optional_line("arduous", &self.arduous);
        let note = wrong.note("note", &self.note);
        match (model, store) {
            (Some(model), Some(store)) if wrong.is_empty() => Ok(ItemDetails {
                model: model.id,
                mark,
                store,
                serial,
                lot,
                made,
                bought_on,
                first_used_on,
                markings_readable,
                attributes,
                arduous,
                note,
            }),
            _ => Err(wrong),
        }
    }

    fn made(&self, wrong: &mut FieldErrors, today: Date) -> Option<Made> {
        let made = optional(&self.made, |text| {
            wrong.keep("made", "date", Made::read(text))
        });
        if made.is_some_and(|made| made.cautious_day() > today) {
            wrong.add(
                "made",
                "range",
                format!(
                    "It cannot be made after today, {}, as {} is.",
                    write_day(today),
                    self.made.trim()
                ),
            );
        }
        made
    }

    fn first_used(&self, wrong: &mut FieldErrors, made: Option<Made>, today: Date) -> Option<Made> {
        let first = optional(&self.first_used_on, |text| {
            wrong.keep("first_used_on", "date", Made::read(text))
        })?;
        if first.cautious_day() > today {
            let today = write_day(today);
            let sentence = format!("This must not be after today, {today}, as {first} is.");
            wrong.add("first_used_on", "range", sentence);
        }
        if let Some(made) = made
            && first.last_day() < made.cautious_day()
        {
            wrong.add(
                "first_used_on",
                "range",
                format!("The first use must not be before it was made, {made}, as {first} is."),
            );
        }
        Some(first)
    }
}

/// Reads whether the markings can be read; nothing where nobody looked.
pub(super) fn readable(wrong: &mut FieldErrors, text: &str) -> Option<bool> {
    match text.trim().to_lowercase().as_str() {
        "" | "unknown" => None,
        "yes" | "true" => Some(true),
        "no" | "false" => Some(false),
        other => {
            wrong.add(
                "markings_readable",
                "choice",
                format!("Say yes, no or unknown, not \"{other}\"."),
            );
            None
        }
    }
}

/// Reads a day that must not be after today.
pub(super) fn past_day(
    wrong: &mut FieldErrors,
    field: &str,
    text: &str,
    today: Date,
) -> Option<Date> {
    let day = optional(text, |text| {
        wrong.keep(field, "date", read_day(text).and_then(in_reach))
    })?;
    if day > today {
        wrong.add(
            field,
            "range",
            format!(
                "This must not be after today, {}, as {} is.",
                write_day(today),
                write_day(day)
            ),
        );
    }
    Some(day)
}

impl Item {
    /// The same in another place.
    #[must_use]
    pub fn moved(self, to: StoreId) -> Self {
        Self {
            store: to,
            revision: self.revision + 1,
            ..self
        }
    }

    /// Takes from it what it passed: it was asked by the list of another kind of gear.
    pub fn as_never_passed(&mut self) {
        (self.last_passed_on, self.next_due_on) = (None, None);
    }
}

impl ItemDetails {
    /// A new item with these details: in service, and not yet examined.
    pub fn into_item(self, id: ItemId, at: OffsetDateTime) -> Item {
        Item {
            id,
            revision: 1,
            model: self.model,
            mark: self.mark,
            store: self.store,
            serial: self.serial,
            lot: self.lot,
            made: self.made,
            bought_on: self.bought_on,
            first_used_on: self.first_used_on,
            markings_readable: self.markings_readable,
            attributes: self.attributes,
            arduous: self.arduous,
            note: self.note,
            state: ItemState::InService,
            state_reason: "added to the register".to_owned(),
            state_since: at,
            next_due_on: None,
            last_passed_on: None,
            usage: UsageSums::default(),
            event_hold: None,
            cut_from: None,
            cut_into: None,
            retired: None,
            return_asked: None,
            look_asked: None,
            use_shown: None,
        }
    }

    /// `item` with these details in place of its own; identity, state and dates of examination stay.
    pub fn revise(self, item: &Item) -> Item {
        let state = (item.state, item.state_reason.clone(), item.state_since);
        let kept = item.clone();
        Item {
            revision: kept.revision + 1,
            state: state.0,
            state_reason: state.1,
            state_since: state.2,
            next_due_on: kept.next_due_on,
            last_passed_on: kept.last_passed_on,
            usage: kept.usage,
            event_hold: kept.event_hold,
            cut_from: kept.cut_from,
            cut_into: kept.cut_into,
            retired: kept.retired,
            return_asked: kept.return_asked,
            look_asked: kept.look_asked,
            use_shown: kept.use_shown,
            ..self.into_item(kept.id, kept.state_since)
        }
    }
}
