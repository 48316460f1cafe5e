//! What was measured of an item: one row a value.

use super::{
    Cell, Column,
    cell::{day, decimal, number, told, told_of},
    column::column,
};
use crate::domain::{Course, ItemId, ModelLimit, Reading, entered::EnteredLength};

/// How many cells a row has.
pub const CELLS: usize = 15;

/// The columns. `value` and the limits are as entered; `value_mm` is the value in millimetres. `point` counts the values of
/// one examination and says nothing of where they were taken.
pub const COLUMNS: [Column; CELLS] = [
    column("mark").on_paper(1.6),
    column("measured").on_paper(2.0),
    column("criterion"),
    column("done_on").on_paper(1.6),
    column("examination").on_paper(1.6),
    column("examiner").on_paper(2.0),
    column("point").on_paper(0.8),
    column("value").on_paper(1.0),
    column("unit").on_paper(0.8),
    column("value_mm"),
    column("least_allowed").on_paper(1.4),
    column("most_allowed").on_paper(1.4),
    column("limit_source"),
    column("beyond_limit").on_paper(1.2),
    column("examination_id"),
];

/// The rows. `mark` gives the mark of the item or of a rope that it was part of.
pub fn rows(courses: &[Course], mark: impl Fn(ItemId) -> String) -> Vec<[Cell<'static>; CELLS]> {
    let readings = courses
        .iter()
        .flat_map(|course| course.readings.iter().map(move |reading| (course, reading)));
    let rows = readings.flat_map(|(course, reading)| {
        let mark = mark(reading.item);
        let values = (1..).zip(reading.values.iter().copied());
        values.map(move |value| row((course, reading), value, &mark))
    });
    rows.collect()
}

fn row(
    (course, reading): (&Course, &Reading),
    (point, value): (u32, EnteredLength),
    mark: &str,
) -> [Cell<'static>; CELLS] {
    let limit = reading.limit.as_ref();
    let end = |end: fn(&ModelLimit) -> Option<EnteredLength>| told_of(limit.and_then(end));
    [
        told(mark),
        told(&course.measure.of),
        told(&course.criterion),
        day(Some(reading.on)),
        reading.kind.key().into(),
        told(&reading.examiner),
        number(point),
        decimal(value.value()),
        value.unit().symbol().into(),
        decimal(rounded(value.quantity().millimetres())),
        end(|limit| limit.least),
        end(|limit| limit.most),
        told_of(limit.map(|limit| &limit.source)),
        match limit {
            Some(_) if reading.is_beyond(value) => "yes",
            Some(_) => "no",
            None => "",
        }
        .into(),
        told(reading.examination),
    ]
}

/// Millimetres to a thousandth: a conversion leaves digits that nobody measured.
fn rounded(millimetres: f64) -> f64 {
    (millimetres * 1000.0).round() / 1000.0
}
