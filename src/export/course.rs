//! What was measured of an item: one row a value.

use super::{
    Table,
    cell::{day, decimal, number, told, told_of},
};
use crate::domain::{Course, ItemId, ModelLimit, Reading, entered::EnteredLength};

/// How many cells a row has.
const CELLS: usize = 15;

/// The headings. `value` and the limits are as entered; `value_mm` is the value in millimetres. `point` counts the
/// values of one examination and says nothing of where they were taken.
const HEADINGS: [&str; CELLS] = [
    "mark",
    "measured",
    "criterion",
    "done_on",
    "examination",
    "examiner",
    "point",
    "value",
    "unit",
    "value_mm",
    "least_allowed",
    "most_allowed",
    "limit_source",
    "beyond_limit",
    "examination_id",
];

/// The file. `mark` gives the mark of the item or of a rope that it was part of.
pub fn file(courses: &[Course], mark: impl Fn(ItemId) -> String) -> Vec<u8> {
    let mut bytes = Table::beginning(HEADINGS);
    let mut table = Table::part();
    for course in courses {
        for reading in &course.readings {
            for (at, value) in reading.values.iter().enumerate() {
                push(
                    &mut table,
                    (course, reading),
                    (at + 1, *value),
                    &mark(reading.item),
                );
            }
        }
    }
    bytes.extend(table.into_bytes());
    bytes
}

fn push(
    table: &mut Table<CELLS>,
    (course, reading): (&Course, &Reading),
    (point, value): (usize, EnteredLength),
    mark: &str,
) {
    let limit = reading.limit.as_ref();
    let end = |end: fn(&ModelLimit) -> Option<EnteredLength>| told_of(limit.and_then(end));
    table.row([
        mark.into(),
        course.measure.of.as_str().into(),
        course.criterion.as_str().into(),
        day(Some(reading.on)),
        reading.kind.key().into(),
        reading.examiner.as_str().into(),
        number(point),
        decimal(value.value()),
        value.unit().symbol().into(),
        decimal(rounded(value.quantity().millimetres())),
        end(|limit| limit.least),
        end(|limit| limit.most),
        limit.map_or("", |limit| limit.source.as_str()).into(),
        match limit {
            Some(_) if reading.is_beyond(value) => "yes",
            Some(_) => "no",
            None => "",
        }
        .into(),
        told(reading.examination),
    ]);
}

/// Millimetres to a thousandth: a conversion leaves digits that nobody measured.
fn rounded(millimetres: f64) -> f64 {
    (millimetres * 1000.0).round() / 1000.0
}
