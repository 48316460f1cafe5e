//! What a person says once for many rows: what they have seen of the items, and what holds for a model.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};
use time::Date;

use super::answer::{Answers, ReadIn};
use super::field::{Field, attributes_named};
use super::{assumed, life_asked, load_each, rope_said, standard, unit, unmade, word};
use crate::domain::date::{read_day, write_day};
use crate::domain::entered::{
    EnteredForce, EnteredLength, EnteredMass, ForceUnit, LengthUnit, split_number,
};
use crate::domain::{ExaminationDraft, FieldErrors, Takes, fold, is_bare_per_cent};

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

    /// On which day it was seen, as a question about some items.
    pub fn asked(self, items: &str) -> String {
        let done = match self {
            Self::MarkingsUnknown => "were seen, and the markings of each can be read",
            Self::NeverExamined => "had an intake examination on one day, and each was found fit",
            Self::Overdue => "had a periodic examination on one day, and each was found fit",
        };
        format!("If {items} {done}: on which day")
    }

    /// What is recorded where it is said.
    pub fn recorded(self) -> &'static str {
        match self {
            Self::MarkingsUnknown => {
                "Then each item's record says that its markings can be read, and its note who saw them and when."
            }
            Self::NeverExamined => {
                "Then an intake examination is recorded for each item: this day, this examiner, the verdict fit, and that it was said for all of them at once."
            }
            Self::Overdue => {
                "Then a periodic examination is recorded for each item: this day, this examiner, the verdict fit, and that it was said for all of them at once."
            }
        }
    }
}

/// Who has seen something, and when.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Seen {
    /// Who, by name. Of markings it must be said; of examinations empty is whoever takes the list in.
    pub by: String,
    /// The day.
    pub on: String,
    /// The rows that were seen; none are all that need it.
    pub rows: BTreeSet<u32>,
    /// Whether it was the examiner of each row, on the day of its examination: then neither name nor day is said.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub each: bool,
}

/// Whether one answer may fill a field for all rows of a model.
pub(super) fn fills(field: Field) -> bool {
    matches!(
        field,
        Field::Made
            | Field::LifeFromMade
            | Field::LifeFromFirstUse
            | Field::Standard
            | Field::RatedLoad
            | Field::RopeLeast
            | Field::RopeMost
            | Field::RopeRange
            | Field::RopeKinds
            | Field::Strength(..)
            | Field::Attribute(_)
    )
}

/// The unit in which a number is taken that somebody writes without one for a model.
pub fn usual_unit(field: Field) -> Option<&'static str> {
    match field {
        Field::Strength(..) => Some(ForceUnit::Kilonewton.symbol()),
        Field::RopeLeast | Field::RopeMost => Some(LengthUnit::Millimetre.symbol()),
        Field::Attribute(key) => {
            let attribute = attributes_named(key).next()?;
            match attribute.takes {
                Takes::Length => Some(attribute.usual_length_unit().symbol()),
                Takes::Force => Some(ForceUnit::Kilonewton.symbol()),
                _ => None,
            }
        }
        _ => None,
    }
}

/// What was written for a field of a model, with its usual unit where it names none.
pub fn with_unit(field: Field, text: &str) -> String {
    let text = text.trim();
    match (split_number(text), usual_unit(field)) {
        (Some((_, "")), Some(unit)) => format!("{text} {unit}"),
        (Some((value, "%")), None) if unit::is_per_cent(field) => value.to_string(),
        // Shown with its sign, so that it is plain how it is read.
        (Some((value, "")), None) if unit::is_share(field) && is_bare_per_cent(value) => {
            format!("{text} %")
        }
        _ => text.to_owned(),
    }
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
        EFFICIENCY => assumed::read(text).err(),
        Field::LifeFromMade | Field::LifeFromFirstUse => life_asked::wrong(text),
        Field::Attribute(key) => attributes_named(key)
            .next()
            .and_then(|attribute| attribute.read(text).err()),
        Field::Strength(..) => EnteredForce::read(text, None)
            .err()
            .map(|error| ("unit", error.to_string())),
        Field::RopeLeast | Field::RopeMost if !word::says_unknown(text) => {
            let read = EnteredLength::read(text, None);
            read.err().map(|error| ("unit", error.to_string()))
        }
        Field::Made => unmade::made(text).is_none().then(|| {
            let message = format!(
                "Write a year, a month or a day, such as 2021, 2021-05 or 2021-05-17; \"{text}\" cannot be read as one."
            );
            ("date", message)
        }),
        Field::RopeRange if rope_said::typed(text).is_none() => {
            let message = format!(
                "Write the thinnest and the thickest rope, such as 8-13 mm, or the one that is known, such as up to 13 mm; \"{text}\" cannot be read so."
            );
            Some(("number", message))
        }
        Field::RatedLoad if !is_load(text) && load_each::read(text).is_none() => {
            let message = format!(
                "Write the rated load with its unit, such as 200 kg or 2 kN, or one for each approval, such as {}; \"{text}\" cannot be read so.",
                load_each::SUCH_AS
            );
            Some(("unit", message))
        }
        Field::Standard if !standard::is_clear(text) => {
            let message = format!(
                "\"{text}\" cannot be read as standards. Write each with its number and, where it has one, its class: \"EN 1891 A\"."
            );
            Some(("text", message))
        }
        _ => {
            let mut wrong = FieldErrors::default();
            wrong.line("", text);
            wrong.0.pop().map(|error| ("text", error.message))
        }
    }
}

/// Whether a text is a mass or a force above nothing.
fn is_load(text: &str) -> bool {
    let mass = EnteredMass::read(text, None).is_ok_and(|mass| mass.value() > 0.0);
    mass || EnteredForce::read(text, None).is_ok_and(|force| force.value() > 0.0)
}

/// Whether a value of this field becomes a strength on record, or may.
pub(super) fn is_strength(field: Field) -> bool {
    matches!(field, Field::Strength(..) | Field::RatedLoad)
}

/// Where a value of a field can have been read: nobody can trace a strength that stands in a note of one's own, and
/// nothing is assumed but the efficiency of a sheave.
pub fn read_in(field: Field) -> impl Iterator<Item = ReadIn> {
    let all = ReadIn::ALL.iter().copied();
    all.filter(move |read| match read {
        ReadIn::Note => !is_strength(field),
        ReadIn::Assumed => field == EFFICIENCY,
        _ => true,
    })
}

/// The efficiency of a sheave, the one thing that may be assumed.
pub(super) const EFFICIENCY: Field = Field::Attribute("efficiency");

/// The name under which a fault of what was said of a model is told.
pub(super) fn name_of(title: &str, key: &str) -> String {
    format!("models[{title}][{key}]")
}

impl Answers {
    /// What was said of a model where the list says nothing, each with where it was read; as far as it can hold.
    pub(super) fn of_model(&self, title: &str) -> impl Iterator<Item = (Field, &str, ReadIn)> {
        let title = fold(title);
        let said = self.models.iter().filter(move |(of, _)| fold(of) == title);
        said.flat_map(|(of, fields)| fields.iter().map(move |(key, text)| (of, key, text)))
            .filter_map(|(of, key, text)| {
                let (field, text) = (Field::from_key(key)?, text.trim());
                let read = self.read_in(of, key)?;
                let holds = !text.is_empty() && wrong_for_model(field, text).is_none();
                let traced = read_in(field).any(|one| one == read);
                (holds && traced).then_some((field, text, read))
            })
    }

    /// The names under which faults are told of what is said of models and is not among other answers; folded.
    pub fn anew_of_models(&self, there: &Self) -> BTreeSet<String> {
        let fields = self.models.iter();
        let fields = fields.flat_map(|(title, fields)| {
            let before = there.models.get(title);
            let is_new = move |key: &str, text: &String| {
                before.and_then(|before| before.get(key)) != Some(text)
            };
            let new = fields.iter().filter(move |(key, text)| is_new(key, text));
            new.map(move |(key, _)| fold(&name_of(title, key)))
        });
        fields.collect()
    }

    /// Where what was said of a field of a model was read: what was said of it alone, else of all.
    fn read_in(&self, title: &str, key: &str) -> Option<ReadIn> {
        let own = self.sources.get(title).and_then(|read| read.get(key));
        own.copied().or(self.source)
    }

    /// Whether what was said once for many rows can hold.
    ///
    /// # Errors
    /// Every field that does not: `seen[reason][on]`, `models[title][field]`, `sources[title][field]`, `people[kind]`.
    pub fn check(&self, today: Date) -> Result<(), FieldErrors> {
        let mut wrong = FieldErrors::default();
        for (of, seen) in &self.seen {
            wrong.nest(&format!("seen[{}]", of.key()), seen.wrong(*of, today));
        }
        for (title, fields) in &self.models {
            for (key, text) in fields.iter().filter(|(_, text)| !text.trim().is_empty()) {
                let name = name_of(title, key);
                match Field::from_key(key) {
                    None => wrong.add(name, "choice", format!("\"{key}\" is no field.")),
                    Some(field) => {
                        if let Some((code, message)) = wrong_for_model(field, text) {
                            wrong.add(name, code, message);
                        }
                        self.check_source((title, key), field, &mut wrong);
                    }
                }
            }
        }
        self.check_people(&mut wrong);
        for (name, one) in &self.competent {
            if let Err(part) = one.draft.check(one.id, today) {
                wrong.nest(&format!("competent[{name}]"), part);
            }
        }
        wrong.or(|| ())
    }
}

impl Answers {
    /// Whether it is said where a value of a model was read, and can have been.
    fn check_source(&self, (title, key): (&str, &str), field: Field, wrong: &mut FieldErrors) {
        let read = self.read_in(title, key);
        if read.is_none_or(|read| read_in(field).all(|one| one != read)) {
            let words: Vec<String> = read_in(field)
                .map(|read| format!("{} ({})", read.key(), read.words()))
                .collect();
            let sentence = format!(
                "Say where \"{}\" of {title} was read: {}.",
                field.label(),
                words.join(", ")
            );
            wrong.add(format!("sources[{title}][{key}]"), "required", sentence);
        }
    }
}

impl Seen {
    /// Whether it says of markings by the examiner of each row, which needs no more.
    pub(super) fn is_of_each(&self, of: SeenOf) -> bool {
        self.each && of == SeenOf::MarkingsUnknown
    }

    /// Who examined an item and when, as its row says it; none where it names no examiner.
    pub(super) fn by_examiner(examination: &ExaminationDraft) -> Option<Self> {
        let by = examination.examiner.trim();
        (!by.is_empty()).then(|| Self {
            by: by.to_owned(),
            on: examination.on.clone(),
            each: true,
            ..Self::default()
        })
    }

    fn wrong(&self, of: SeenOf, today: Date) -> FieldErrors {
        let mut wrong = FieldErrors::default();
        if self.is_of_each(of) {
            return wrong;
        }
        wrong.optional_line("by", &self.by);
        if of == SeenOf::MarkingsUnknown && self.by.trim().is_empty() {
            wrong.add("by", "required", "Write who has seen them.");
        }
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
