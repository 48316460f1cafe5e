//! What a team looks at beside what comes with the program.

use serde::{Deserialize, Serialize};

use super::limit::read_value;
use super::read::MOST_POINTS;
use super::{By, Criterion, Measurement, ModelLimit, Out};
use crate::domain::entered::{EnteredLength, LengthUnit};
use crate::domain::rating::{key_of, optional, word};
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
    /// `sight`, `touch`, `function`, or `measure` where something is measured.
    pub by: String,
    /// What is measured: "Length of the stitch pattern"; empty where nothing is.
    pub measured: String,
    /// The unit that a bare number is read in: `mm`, `cm`, `m`, `in` or `ft`; empty is millimetres.
    pub unit: String,
    /// At how many points; empty is one.
    pub points: String,
    /// Less than this is a fail; empty where there is no least.
    pub least: String,
    /// More than this is a fail; empty where there is no most.
    pub most: String,
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
        let by = word::<By>(&self.by);
        if by.is_none() {
            let given: String = self.by.trim().chars().take(60).collect();
            let ways = By::ALL.map(|by| match (by.word(), key_of(by)) {
                (word, key) if word == key => key,
                (word, key) => format!("{word} ({key})"),
            });
            let ways = ways.join(", ");
            let sentence = match given.as_str() {
                "" => format!("Choose how it is looked at: {ways}."),
                given => format!("Choose {ways}, not \"{given}\"."),
            };
            wrong.add("by", "choice", sentence);
        }
        let measure = self.measure(by, &mut wrong);
        let unit = measure.as_ref().map(|measure| measure.unit);
        let (least, most) = self.limits(unit, &mut wrong);
        let out = word::<Out>(&self.out);
        if out.is_none() && !self.out.trim().is_empty() {
            let given: String = self.out.trim().chars().take(60).collect();
            let sentence = format!("Choose quarantine, retire or neither, not \"{given}\".");
            wrong.add("out", "choice", sentence);
        }
        let source = wrong.optional_line("source", &self.source);
        let source = source.unwrap_or_else(|| "criterion of the team's own".to_owned());
        let limit = (least.is_some() || most.is_some()).then(|| ModelLimit {
            criterion: key.clone(),
            least,
            most,
            source: source.clone(),
        });
        match by {
            Some(by) if wrong.is_empty() => Ok(Criterion {
                key,
                words,
                by,
                out,
                quick: matches!(self.quick.trim(), "yes" | "on" | "true"),
                measure,
                limit,
                from: Cited::new(source, Known::Setting),
            }),
            _ => Err(wrong),
        }
    }

    /// What is measured, where something is: then it is looked at by measuring, and by nothing else.
    fn measure(&self, by: Option<By>, wrong: &mut FieldErrors) -> Option<Measurement> {
        let of = wrong.optional_line("measured", &self.measured);
        match (by, &of) {
            (Some(By::Measure), None) if wrong.on("measured").next().is_none() => {
                let sentence = "Write what is measured, such as: Length of the stitch pattern.";
                wrong.add("measured", "required", sentence);
            }
            (Some(way), Some(_)) if way != By::Measure => {
                let sentence = "Something is measured here: choose measure.";
                wrong.add("by", "choice", sentence);
            }
            _ => {}
        }
        let unit = match self.unit.trim() {
            "" => Some(LengthUnit::Millimetre),
            text => word::<LengthUnit>(text),
        };
        if unit.is_none() {
            let given: String = self.unit.trim().chars().take(60).collect();
            let sentence = format!("Choose mm, cm, m, in or ft, not \"{given}\".");
            wrong.add("unit", "choice", sentence);
        }
        let points = match self.points.trim() {
            "" => Some(1),
            text => text.parse().ok().filter(|n| (1..=MOST_POINTS).contains(n)),
        };
        if points.is_none() {
            let given: String = self.points.trim().chars().take(60).collect();
            let sentence =
                format!("Write a number of points from 1 to {MOST_POINTS}, not \"{given}\".");
            wrong.add("points", "range", sentence);
        }
        Some(Measurement {
            of: of?,
            unit: unit?,
            points: points?,
        })
    }

    /// The least and the most that are allowed of what is measured.
    fn limits(
        &self,
        unit: Option<LengthUnit>,
        wrong: &mut FieldErrors,
    ) -> (Option<EnteredLength>, Option<EnteredLength>) {
        let mut length = |field: &'static str, text: &str| {
            optional(text, |text| {
                if let Some(unit) = unit {
                    return wrong.keep(field, "unit", read_value(text, unit));
                }
                // Where what is measured is there, its own fault is told.
                if self.measured.trim().is_empty() {
                    let sentence = "A limit is one of what is measured: write what that is.";
                    wrong.add(field, "choice", sentence);
                }
                None
            })
        };
        let (least, most) = (length("least", &self.least), length("most", &self.most));
        if let (Some(least), Some(most)) = (least, most)
            && least.quantity() > most.quantity()
        {
            let sentence = format!("The most must not be below the least, {least}, as {most} is.");
            wrong.add("most", "range", sentence);
        }
        (least, most)
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
    pub fn ways() -> [(String, &'static str); 4] {
        By::ALL.map(|by| (key_of(by), by.word()))
    }
}
