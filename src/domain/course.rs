//! What was measured of an item, examination by examination: the values as entered, and what they were held against.
//!
//! A course tells what was measured and nothing beyond: no value is worked out for a day on which nobody measured.

use serde::Serialize;
use time::Date;

use super::attribute::Value;
use super::checklist::Measurement;
use super::date::iso;
use super::entered::EnteredLength;
use super::{Examination, ExaminationId, ExaminationKind, Item, ItemId, Model, ModelLimit};

/// Everything that was measured by one criterion.
#[derive(Clone, Debug, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Course {
    /// The key of the criterion; it keeps its meaning through all editions of the list.
    pub criterion: String,
    /// What is measured, and in which unit a bare number is read.
    pub measure: Measurement,
    /// What the maker allows, as the model's record says today; none where it has no limit.
    pub limit: Option<ModelLimit>,
    /// What the record of the model or the item says of the same, to compare with: the nominal diameter, the length.
    pub on_record: Option<EnteredLength>,
    /// What was measured, the oldest first.
    pub readings: Vec<Reading>,
}

/// What was measured in one examination.
#[derive(Clone, Debug, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Reading {
    /// The day of the examination.
    #[serde(with = "iso")]
    pub on: Date,
    /// The examination.
    pub examination: ExaminationId,
    /// Why it was looked at.
    pub kind: ExaminationKind,
    /// What was examined: the item, or the rope that it was part of then.
    pub item: ItemId,
    /// Who looked.
    pub examiner: String,
    /// The values as entered, a value a point. Where on the item each point is, is not recorded.
    pub values: Vec<EnteredLength>,
    /// The limit that the values were held against on that day; none where the model's record had none.
    pub limit: Option<ModelLimit>,
}

impl Reading {
    /// Whether a value is beyond the limit that it was held against.
    pub fn is_beyond(&self, value: EnteredLength) -> bool {
        self.limit
            .as_ref()
            .is_some_and(|limit| limit.excludes(value))
    }

    /// The mean of the values in metres; none where there is none.
    pub fn mean_metres(&self) -> Option<f64> {
        let count = u32::try_from(self.values.len())
            .ok()
            .filter(|count| *count > 0)?;
        let metres = self.values.iter().map(|value| value.quantity().metres());
        Some(metres.sum::<f64>() / f64::from(count))
    }
}

/// The courses of an item, in the order in which the last list asks. `named` says what a criterion of an examination
/// measures.
///
/// A piece has the diameters of the rope that it was cut from, but no length of it.
pub fn courses(
    (item, model): (&Item, &Model),
    examinations: &[Examination],
    named: impl Fn(&Examination, &str) -> Option<Measurement>,
) -> Vec<Course> {
    let mut courses: Vec<Course> = Vec::new();
    for examination in examinations {
        let measured = examination
            .answers
            .iter()
            .filter(|one| !one.values.is_empty());
        for answer in measured {
            let key = answer.criterion.as_str();
            if key == LENGTH && examination.item != item.id {
                continue;
            }
            let reading = Reading {
                on: examination.on,
                examination: examination.id,
                kind: examination.kind,
                item: examination.item,
                examiner: examination.examiner.clone(),
                values: answer.values.clone(),
                limit: answer.limit.clone(),
            };
            match courses.iter_mut().find(|course| course.criterion == key) {
                Some(course) => course.readings.push(reading),
                None => courses.extend(named(examination, key).map(|measure| Course {
                    criterion: key.to_owned(),
                    measure,
                    limit: limit_today(model, key),
                    on_record: on_record(item, model, key),
                    readings: vec![reading],
                })),
            }
        }
    }
    for course in &mut courses {
        course.readings.reverse();
    }
    courses
}

/// The criterion whose value a cut changes.
const LENGTH: &str = "length";

fn limit_today(model: &Model, criterion: &str) -> Option<ModelLimit> {
    let mut limits = model.limits.iter();
    limits.find(|limit| limit.criterion == criterion).cloned()
}

/// A criterion and an attribute of one key are about the same thing.
fn on_record(item: &Item, model: &Model, key: &str) -> Option<EnteredLength> {
    let known = item
        .attributes
        .0
        .get(key)
        .or_else(|| model.attributes.0.get(key));
    match known {
        Some(Value::Length(length)) => Some(*length),
        _ => None,
    }
}
