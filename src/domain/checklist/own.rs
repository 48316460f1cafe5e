//! What a team looks at beside what comes with the program.

use serde::{Deserialize, Serialize};

use super::{By, Criterion, Out};
use crate::domain::rating::{key_of, word};
use crate::domain::{ChecklistId, Cited, FieldErrors, Kind, Known};

/// The most criteria of a team's own for a kind.
pub const MOST_OWN: usize = 40;

/// The criteria that a team adds to a kind, in one edition.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct TeamChecklist {
    /// Its id, the same in all editions.
    pub id: ChecklistId,
    /// The kind of gear.
    pub kind: Kind,
    /// The edition, from 1.
    pub revision: u32,
    /// How many criteria it ever had: a key is not given twice.
    pub given: u32,
    /// The criteria.
    pub criteria: Vec<Criterion>,
    /// What this edition changed, in words.
    pub change: String,
}

/// A criterion of a team's own as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct CriterionDraft {
    /// The sentence that holds of gear that is whole.
    pub words: String,
    /// `sight`, `touch` or `function`.
    pub by: String,
    /// `quarantine`, `retire`, or empty: where the item goes at once if it fails.
    pub out: String,
    /// `yes` where it is on the short list too.
    pub quick: String,
    /// Who says that it is looked at; empty is the team itself.
    pub source: String,
}

impl CriterionDraft {
    /// The criterion that was typed in, under this key.
    fn check(&self, key: String) -> Result<Criterion, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let words = wrong.line("words", &self.words);
        let ways = [By::Sight, By::Touch, By::Function];
        let by = word::<By>(&self.by).filter(|by| ways.contains(by));
        if by.is_none() {
            let given: String = self.by.trim().chars().take(60).collect();
            let sentence = format!("Choose sight, touch or function, not \"{given}\".");
            wrong.add("by", "choice", sentence);
        }
        let out = word::<Out>(&self.out);
        if out.is_none() && !self.out.trim().is_empty() {
            let given: String = self.out.trim().chars().take(60).collect();
            let sentence = format!("Choose quarantine, retire or neither, not \"{given}\".");
            wrong.add("out", "choice", sentence);
        }
        let source = wrong.optional_line("source", &self.source);
        let source = source.unwrap_or_else(|| "criterion of the team's own".to_owned());
        match by {
            Some(by) if wrong.is_empty() => Ok(Criterion {
                key,
                words,
                by,
                out,
                quick: matches!(self.quick.trim(), "yes" | "on" | "true"),
                measure: None,
                from: Cited::new(source, Known::Setting),
            }),
            _ => Err(wrong),
        }
    }
}

impl TeamChecklist {
    /// Nothing of a team's own yet for a kind; never recorded.
    fn none(kind: Kind) -> Self {
        Self {
            id: ChecklistId::new(),
            kind,
            revision: 0,
            given: 0,
            criteria: Vec::new(),
            change: String::new(),
        }
    }

    /// The next edition, with a criterion more.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn with(
        before: Option<&Self>,
        kind: Kind,
        draft: &CriterionDraft,
    ) -> Result<Self, FieldErrors> {
        let before = before.cloned().unwrap_or_else(|| Self::none(kind));
        let given = before.given + 1;
        let criterion = draft.check(format!("own-{given}"))?;
        if before.criteria.len() >= MOST_OWN {
            let sentence =
                format!("A kind takes {MOST_OWN} criteria of your own; take one back first.");
            return Err(FieldErrors::one("words", "long", sentence));
        }
        let same = |one: &Criterion| one.words.to_lowercase() == criterion.words.to_lowercase();
        if before.criteria.iter().any(same) {
            let sentence = "This sentence stands among your own criteria already.";
            return Err(FieldErrors::one("words", "taken", sentence));
        }
        let mut criteria = before.criteria;
        let change = format!("added: {}", criterion.words);
        criteria.push(criterion);
        Ok(Self {
            revision: before.revision + 1,
            given,
            criteria,
            change,
            ..before
        })
    }

    /// The next edition, without one of its criteria; none if it has no such one.
    #[must_use]
    pub fn without(&self, key: &str) -> Option<Self> {
        let gone = self.criteria.iter().find(|one| one.key == key)?;
        let mut next = self.clone();
        next.revision += 1;
        next.change = format!("taken back: {}", gone.words);
        next.criteria.retain(|one| one.key != key);
        Some(next)
    }

    /// The ways of looking that a team's own criterion may have, for a form.
    pub fn ways() -> [(String, &'static str); 3] {
        [By::Sight, By::Touch, By::Function].map(|by| (key_of(by), by.word()))
    }
}
