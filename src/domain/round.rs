//! A round of examinations: the items that somebody is to look at within some days, and what became of each.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{iso, write_day};
use super::{ExaminationId, FieldErrors, Item, ItemId, ItemState, RoundId, SpanDraft, Verdict};

/// The most items in one round: what one team looks at in a few days.
pub const MOST_IN_ROUND: usize = 500;

/// A round of examinations.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Round {
    /// Its id.
    pub id: RoundId,
    /// Its name.
    pub name: String,
    /// The first day; an examination from that day on counts for it.
    #[serde(with = "iso")]
    pub from: Date,
    /// The last day that is planned for it.
    #[serde(with = "iso")]
    pub to: Date,
    /// Who is to examine, by name; empty is nobody yet.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub examiner: String,
    /// The items.
    pub items: Vec<ItemId>,
    /// How it was closed, if it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub closed: Option<RoundClosing>,
}

/// A round is over; says why what was not examined was not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct RoundClosing {
    /// The round.
    pub round: RoundId,
    /// Its name.
    pub name: String,
    /// The day on which it was closed; later examinations do not count for it.
    #[serde(with = "iso")]
    pub on: Date,
    /// What was not examined.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left: Vec<LeftOut>,
    /// The examinations that counted for it, one of each item that was examined. A round that was closed before they were
    /// kept has none, and they are worked out from the days.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub looked: Vec<ExaminationId>,
}

/// An item that was not examined in a round.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LeftOut {
    /// The item.
    pub item: ItemId,
    /// Why.
    pub reason: String,
    /// Whether it was missing.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub missing: bool,
}

/// The last thorough examination of an item since a round began.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LookedAt {
    /// Which one.
    pub id: ExaminationId,
    /// Who looked, by name.
    pub examiner: String,
    /// The day.
    pub on: Date,
    /// What it ended in.
    pub verdict: Verdict,
}

impl LookedAt {
    /// The day, what it ended in and who looked.
    pub fn in_words(&self) -> String {
        let by = match self.examiner.as_str() {
            "" => String::new(),
            name => format!(", {name}"),
        };
        format!("{}, {}{by}", write_day(self.on), self.verdict.word())
    }
}

/// What became of an item in a round. Worked out from its examinations and its state, never kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum InRound {
    /// Not examined yet.
    Left,
    /// Not examined, and missing.
    NotFound,
    /// Not found fit by its examination, or retired without one.
    Out,
    /// Examined, and fit.
    Done,
}

impl InRound {
    /// Each, those that wait for somebody first.
    pub const ALL: [Self; 4] = [Self::Left, Self::NotFound, Self::Out, Self::Done];

    /// What became of an item: what happened to it after it was found fit does not undo that.
    pub fn of(item: &Item, looked: Option<&LookedAt>) -> Self {
        match (looked.map(|looked| looked.verdict), item.state) {
            (Some(Verdict::Fit), _) => Self::Done,
            (None, ItemState::Missing) => Self::NotFound,
            // Quarantine alone is no answer: it waits for the look that decides.
            (None, ItemState::InService | ItemState::Quarantined) => Self::Left,
            _ => Self::Out,
        }
    }

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::NotFound => "not found",
            Self::Out => "out",
            Self::Done => "done",
        }
    }

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::NotFound => "not-found",
            other => other.word(),
        }
    }

    /// Whether somebody has to say why, when the round is closed.
    pub fn is_open(self) -> bool {
        matches!(self, Self::Left | Self::NotFound)
    }
}

impl RoundClosing {
    /// What had become of an item when the round was closed: no state of today changes that.
    pub fn became(&self, item: ItemId, looked: Option<&LookedAt>) -> InRound {
        let left = self.left.iter().find(|left| left.item == item);
        match (left, looked.map(|looked| looked.verdict)) {
            (Some(left), _) if left.missing => InRound::NotFound,
            (Some(_), _) => InRound::Left,
            (None, Some(Verdict::Fit)) => InRound::Done,
            (None, _) => InRound::Out,
        }
    }
}

/// A round as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct RoundDraft {
    /// Its name.
    pub name: String,
    /// The first day; empty is today.
    pub from: String,
    /// The last day; empty is 30 days after the first.
    pub to: String,
    /// Who is to examine; may be empty.
    pub examiner: String,
    /// The ids of the items, with commas between.
    pub items: String,
}

impl RoundDraft {
    /// The ids that were given.
    pub fn chosen(&self) -> impl Iterator<Item = &str> {
        let ids = self.items.split(',').map(str::trim);
        ids.filter(|id| !id.is_empty())
    }

    /// The round that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, id: RoundId, today: Date) -> Result<Round, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let name = wrong.line("name", &self.name);
        let examiner = wrong.optional_line("examiner", &self.examiner);
        let span = SpanDraft {
            from: self.from.clone(),
            to: self.to.clone(),
        };
        let span = match span.check(today) {
            Ok(span) => Some(span),
            Err(errors) => {
                wrong.0.extend(errors.0);
                None
            }
        };
        let mut items: Vec<ItemId> = Vec::new();
        for text in self.chosen() {
            match text.parse() {
                Ok(item) if items.contains(&item) => {}
                Ok(item) => items.push(item),
                Err(_) => {
                    let given: String = text.chars().take(40).collect();
                    wrong.add("items", "choice", format!("\"{given}\" is no item's id."));
                }
            }
        }
        if items.is_empty() && self.chosen().next().is_none() {
            wrong.add("items", "required", "Choose at least one item.");
        }
        if items.len() > MOST_IN_ROUND {
            wrong.add(
                "items",
                "range",
                format!(
                    "A round takes {MOST_IN_ROUND} items at most; {} were given. Make several rounds.",
                    items.len()
                ),
            );
        }
        match span {
            Some((from, to)) if wrong.is_empty() => Ok(Round {
                id,
                name,
                from,
                to,
                examiner: examiner.unwrap_or_default(),
                items,
                closed: None,
            }),
            _ => Err(wrong),
        }
    }
}

/// Why what is left was not examined, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct RoundClosingDraft {
    /// Why, for all that have no reason of their own.
    pub reason: String,
    /// Why, by the id of the item.
    pub reasons: BTreeMap<String, String>,
}

impl RoundClosingDraft {
    /// The closing of a round in which these were not examined, each with whether it is missing.
    ///
    /// # Errors
    /// [`FieldErrors`] under `reason` where an item has none.
    pub fn check(
        &self,
        round: &Round,
        on: Date,
        (left, looked): (&[(ItemId, bool)], Vec<ExaminationId>),
    ) -> Result<RoundClosing, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let own = |item: &ItemId| {
            let own = self.reasons.get(&item.to_string()).map(|text| text.trim());
            own.filter(|text| !text.is_empty())
        };
        let common = if left.iter().any(|(item, _)| own(item).is_none()) {
            wrong.reason("reason", &self.reason)
        } else {
            wrong.note("reason", &self.reason)
        };
        if on < round.from {
            let from = write_day(round.from);
            let message = format!("It begins on {from} and cannot be closed before.");
            wrong.add("reason", "range", message);
        }
        let left: Vec<LeftOut> = left
            .iter()
            .map(|(item, missing)| LeftOut {
                item: *item,
                missing: *missing,
                reason: match own(item) {
                    Some(text) => wrong.reason(&format!("reasons[{item}]"), text),
                    None => common.clone(),
                },
            })
            .collect();
        wrong.or(|| RoundClosing {
            round: round.id,
            name: round.name.clone(),
            on,
            left,
            looked,
        })
    }
}
