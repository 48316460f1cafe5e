//! A limit that a maker sets to what is measured on a model: how deep a groove may be, how low a tooth.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{Checklist, Criterion};
use crate::domain::entered::{EnteredLength, LengthUnit};
use crate::domain::rating::optional;
use crate::domain::{FieldErrors, Kind};

/// What a model's maker allows of what a criterion measures; the limits themselves are inside.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ModelLimit {
    /// The key of the criterion that measures it.
    pub criterion: String,
    /// Less than this is a fail.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<EnteredLength>,
    /// More than this is a fail.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most: Option<EnteredLength>,
    /// Where it was read.
    pub source: String,
}

impl ModelLimit {
    /// Whether a measured value is beyond it.
    pub fn excludes(&self, value: EnteredLength) -> bool {
        let value = value.quantity();
        self.least.is_some_and(|least| value < least.quantity())
            || self.most.is_some_and(|most| value > most.quantity())
    }
}

impl fmt::Display for ModelLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.least, self.most) {
            (Some(least), Some(most)) => write!(f, "{least} to {most}"),
            (Some(least), None) => write!(f, "at least {least}"),
            (None, Some(most)) => write!(f, "at most {most}"),
            (None, None) => f.write_str("no limit"),
        }
    }
}

/// A limit as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct LimitDraft {
    /// The key of the criterion that measures it.
    pub criterion: String,
    /// The least that is allowed, with its unit; empty where there is no least.
    pub least: String,
    /// The most that is allowed, with its unit; empty where there is no most.
    pub most: String,
    /// Where it was read.
    pub source: String,
}

/// What is measured on gear of a kind, by the newest list that comes with the program.
pub fn measured(kind: Kind) -> Vec<Criterion> {
    let list = Checklist::newest(kind, None);
    let measured = |one: &Criterion| one.measure.is_some();
    list.criteria.into_iter().filter(measured).collect()
}

impl LimitDraft {
    /// Whether nothing was typed; a criterion that was chosen alone counts as nothing.
    pub fn is_blank(&self) -> bool {
        let texts = [&self.least, &self.most, &self.source];
        texts.iter().all(|text| text.trim().is_empty())
    }

    /// The limit that was typed in for a model of this kind.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, kind: Kind) -> Result<ModelLimit, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let all = measured(kind);
        let criterion = all.iter().find(|one| one.key == self.criterion.trim());
        if criterion.is_none() {
            let keys: Vec<&str> = all.iter().map(|one| one.key.as_str()).collect();
            let given: String = self.criterion.trim().chars().take(60).collect();
            let sentence = if keys.is_empty() {
                format!("Nothing is measured on {}; take this out.", kind.one())
            } else {
                format!("Choose {}, not \"{given}\".", keys.join(", "))
            };
            wrong.add("criterion", "choice", sentence);
        }
        let length = |field: &str, text: &str, wrong: &mut FieldErrors| {
            optional(text, |text| {
                wrong.keep(field, "unit", EnteredLength::read(text, None))
            })
        };
        let least = length("least", &self.least, &mut wrong);
        let most = length("most", &self.most, &mut wrong);
        if self.least.trim().is_empty() && self.most.trim().is_empty() {
            wrong.add(
                "most",
                "required",
                "Write the most, the least, or both, with the unit, such as 1 mm.",
            );
        }
        if let (Some(least), Some(most)) = (least, most)
            && least.quantity() > most.quantity()
        {
            let sentence = format!("The most must not be below the least, {least}, as {most} is.");
            wrong.add("most", "range", sentence);
        }
        let source = wrong.line("source", &self.source);
        match criterion {
            Some(criterion) if wrong.is_empty() => Ok(ModelLimit {
                criterion: criterion.key.clone(),
                least,
                most,
                source,
            }),
            _ => Err(wrong),
        }
    }
}

impl From<&ModelLimit> for LimitDraft {
    fn from(limit: &ModelLimit) -> Self {
        let typed = |length: Option<EnteredLength>| length.map(|one| one.to_string());
        Self {
            criterion: limit.criterion.clone(),
            least: typed(limit.least).unwrap_or_default(),
            most: typed(limit.most).unwrap_or_default(),
            source: limit.source.clone(),
        }
    }
}

/// Reads a measured value; a bare number is in the unit that stands beside the field.
pub fn read_value(text: &str, unit: LengthUnit) -> Result<EnteredLength, String> {
    EnteredLength::read(text, Some(unit)).map_err(|error| error.to_string())
}
