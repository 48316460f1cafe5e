//! How an earlier list was said to be written: offered where the next list does not settle it, and never taken over unasked.
//!
//! Lists with the same headings may be written by other people: "1,200 ft" is 1.2 ft where the mark is a comma.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::answer::{Answers, DateOrder, DecimalMark};
use super::question::Question;
use super::rehearsal::Rehearsal;
use super::unit::Unit;
use crate::domain::fold;

/// What was said of how an earlier list is written.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct SaidBefore {
    /// The order of day and month.
    pub dates: Option<DateOrder>,
    /// The decimal mark.
    pub decimal: Option<DecimalMark>,
    /// The units of columns, by their headings.
    pub units: BTreeMap<String, Unit>,
}

impl SaidBefore {
    /// Takes it out of answers, which hold of other lists without it.
    pub(super) fn taken_from(answers: &mut Answers) -> Self {
        Self {
            dates: answers.dates.take(),
            decimal: answers.decimal.take(),
            units: std::mem::take(&mut answers.units),
        }
    }

    /// Fills it in where nothing was said since.
    pub fn fill(&self, answers: &mut Answers) {
        answers.dates = answers.dates.or(self.dates);
        answers.decimal = answers.decimal.or(self.decimal);
        for (heading, unit) in &self.units {
            let is_said = answers.units.keys().any(|said| fold(said) == fold(heading));
            if !is_said {
                answers.units.insert(heading.clone(), *unit);
            }
        }
    }

    fn unit(&self, heading: &str) -> Option<Unit> {
        let heading = fold(heading);
        let mut units = self.units.iter();
        units
            .find(|(said, _)| fold(said) == heading)
            .map(|(_, unit)| *unit)
    }
}

impl Rehearsal {
    /// Offers what was said of an earlier list where it is asked how this one is written.
    pub fn offer(&mut self, said: &SaidBefore) {
        for question in &mut self.questions {
            match question {
                Question::DateOrder { before, .. } => *before = said.dates,
                Question::DecimalMark { before, .. } => *before = said.decimal,
                Question::Unit {
                    heading,
                    units,
                    before,
                    ..
                } => *before = said.unit(heading).filter(|unit| units.contains(unit)),
                _ => {}
            }
        }
    }
}

impl Question {
    /// The word for programs of what was said of an earlier list; empty where nothing was.
    pub fn before(&self) -> &'static str {
        let said = match self {
            Self::DateOrder { before, .. } => before.map(DateOrder::key),
            Self::DecimalMark { before, .. } => before.map(DecimalMark::key),
            Self::Unit { before, .. } => before.map(Unit::sign),
            _ => None,
        };
        said.unwrap_or_default()
    }

    /// That it was said of an earlier list, before the question whether it holds of this one; empty where nothing was.
    pub(super) fn before_words(&self) -> String {
        let said = match (self, self.before()) {
            (_, "") => return String::new(),
            (Self::DateOrder { .. }, "day-first") => "the day first",
            (Self::DateOrder { .. }, _) => "the month first",
            (Self::DecimalMark { .. }, "point") => "a point",
            (Self::DecimalMark { .. }, _) => "a comma",
            (_, unit) => unit,
        };
        format!("For the last list you said {said}; this one may be written otherwise. ")
    }
}
