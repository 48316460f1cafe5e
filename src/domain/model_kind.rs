//! A model that turns out to be of another kind than it was recorded as, and what that does to its items.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::checklist::measured;
use super::fitness::{Intervals, interval_months};
use super::rulebook::Rulebook;
use super::{Item, Kind, LifeTerms, Model, ModelDraft, Where, counted};

/// That a model is of another kind than it was recorded as.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ModelKindChanged {
    /// The model as it is from then on.
    pub model: Model,
    /// The kind that it was recorded as.
    pub from: Kind,
    /// Why.
    pub reason: String,
}

impl ModelKindChanged {
    /// What is told of it.
    pub(super) fn told(&self) -> String {
        format!(
            "The model {} is {}, and was on record as {}",
            self.model.title(),
            self.model.kind.one(),
            self.from.one()
        )
    }
}

/// A change of kind as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ModelKindDraft {
    /// The key of the kind that it is.
    pub kind: String,
    /// Why; it is kept in the history.
    pub reason: String,
}

impl Model {
    /// The model as it would be typed as one of another kind. What that kind has no place for stands in the note, and is
    /// given back a line each.
    pub fn as_kind(&self, kind: Kind) -> (ModelDraft, Vec<String>) {
        let mut draft = self.draft();
        kind.key().clone_into(&mut draft.kind);
        let mut left = Vec::new();
        let fits = |at: usize| kind.modes().contains(&self.ratings[at].mode);
        left.extend(
            self.ratings
                .iter()
                .enumerate()
                .filter(|(at, _)| !fits(*at))
                .map(|(_, rating)| {
                    format!(
                        "{} {}, {} ({})",
                        rating.value,
                        rating.kind.words(),
                        rating.mode.words(),
                        rating.source.words()
                    )
                }),
        );
        let ratings = std::mem::take(&mut draft.ratings).into_iter().enumerate();
        draft.ratings = ratings
            .filter(|(at, _)| fits(*at))
            .map(|(_, rating)| rating)
            .collect();
        draft.attributes.retain(|key, text| {
            let own = kind.attribute(key).filter(|one| one.on == Where::Model);
            let fits = own.is_some_and(|one| one.read(text).is_ok());
            if !fits {
                let label = self
                    .kind
                    .attribute(key)
                    .map_or(key.as_str(), |one| one.label);
                left.push(format!("{label}: {text}"));
            }
            fits
        });
        let measured = measured(kind);
        draft.limits.retain(|limit| {
            let fits = measured.iter().any(|one| one.key == limit.criterion);
            if !fits {
                left.push(format!(
                    "allowed of {}: {} to {} ({})",
                    limit.criterion, limit.least, limit.most, limit.source
                ));
            }
            fits
        });
        if !left.is_empty() {
            if !draft.note.is_empty() {
                draft.note.push('\n');
            }
            let line = format!("As {} it had: {}.", self.kind.one(), left.join("; "));
            draft.note.push_str(&line);
        }
        (draft, left)
    }
}

/// What a change of kind does to the items of a model, counted item by item.
pub struct KindEffects<'a> {
    before: &'a Model,
    after: &'a Model,
    rulebook: &'a Rulebook,
    lives: [LifeTerms; 2],
    items: usize,
    end_otherwise: usize,
    /// How many items have something on record that the new kind does not ask, by its label.
    unasked: BTreeMap<&'static str, usize>,
}

impl<'a> KindEffects<'a> {
    /// Nothing counted yet.
    pub fn new(before: &'a Model, after: &'a Model, rulebook: &'a Rulebook) -> Self {
        Self {
            lives: [before, after].map(|model| LifeTerms::of(model, rulebook)),
            before,
            after,
            rulebook,
            items: 0,
            end_otherwise: 0,
            unasked: BTreeMap::new(),
        }
    }

    /// Counts an item of the model.
    pub fn count(&mut self, item: &Item) {
        self.items += 1;
        let [before, after] = &self.lives;
        if before.life(item).ends_on() != after.life(item).ends_on() {
            self.end_otherwise += 1;
        }
        for key in item.attributes.0.keys() {
            let asked = self.after.kind.attribute(key);
            let was = self.before.kind.attribute(key);
            if let (None, Some(was)) = (asked.filter(|one| one.on == Where::Item), was) {
                *self.unasked.entry(was.label).or_default() += 1;
            }
        }
    }

    /// What it does, a sentence each; `left` is what stands in the model's note from then on.
    pub fn sentences(&self, left: &[String]) -> Vec<String> {
        let (from, to) = (self.before.kind, self.after.kind);
        let mut told = vec![
            match self.items {
                0 => "No item is of this model yet.".to_owned(),
                1 => format!("Its 1 item is {} from then on.", to.one()),
                all => format!("Each of its {all} items is {} from then on.", to.one()),
            },
            format!(
                "They are examined by the list for {}. What is recorded so far stays, each record with the list that it was done by.",
                to.one()
            ),
            self.interval(),
            match self.end_otherwise {
                0 => "No item's life ends on another day.".to_owned(),
                some => format!(
                    "The life of {} ends on another day: the rules for {} count.",
                    counted(some, "item", "items"),
                    to.one()
                ),
            },
        ];
        told.extend(self.unasked.iter().map(|(label, items)| {
            format!(
                "\"{label}\" of {} is asked of no {}: it stays on record until the item's record is changed.",
                counted(*items, "item", "items"),
                to.word()
            )
        }));
        if !left.is_empty() {
            told.push(format!(
                "What is on record of it as {} and has no place there stands in the model's note: {}.",
                from.one(),
                left.join("; ")
            ));
        }
        told
    }

    fn interval(&self) -> String {
        let [before, after] =
            [self.before, self.after].map(|model| Intervals::of(model, self.rulebook));
        let (months, rule) = interval_months(self.after, self.rulebook);
        if before == after {
            format!("They stay to be examined every {months} months.")
        } else {
            let (was, _) = interval_months(self.before, self.rulebook);
            format!(
                "They are to be examined every {months} months, and were every {was}: {rule}. Days due move with it."
            )
        }
    }
}
