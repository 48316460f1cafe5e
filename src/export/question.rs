//! The answer to a question, and a past, as rows of a file: a column a column, and the ids of records in columns of their own.

use super::{
    Cell, Column,
    cell::{day, moment, number, told},
    column::column,
};
use crate::domain::question;

/// The columns of its table in a file.
pub fn columns(columns: &[question::Column]) -> Vec<Column> {
    let columns = columns.iter().flat_map(|one| {
        let named = column(one.key).titled(one.title).on_paper(part(one.key));
        std::iter::once(named).chain(one.id.map(column))
    });
    columns.collect()
}

/// The part of the width on paper: what holds sentences takes more.
fn part(key: &str) -> f32 {
    match key {
        "why" | "reasons" | "with" | "what" | "fate" | "then" | "now" | "difference" => 3.4,
        "fact" => 2.8,
        "entry" | "days" | "interval_months" => 1.2,
        _ => 2.0,
    }
}

/// A row of it: words, and the id behind them where the column is of records.
pub fn row(columns: &[question::Column], row: &question::Row) -> Vec<Cell<'static>> {
    let columns = columns.iter().zip(&row.cells);
    let cells = columns.flat_map(|(column, cell)| {
        let (words, id) = match cell {
            question::Cell::Nothing => (Cell::Nothing, Cell::Nothing),
            question::Cell::Text(text) => (told(text), Cell::Nothing),
            question::Cell::Day(on) => (day(Some(*on)), Cell::Nothing),
            question::Cell::Moment(at) => (moment(*at), Cell::Nothing),
            question::Cell::Number(count) => (number(*count), Cell::Nothing),
            question::Cell::Record(to, name) => (told(name), told(to.id())),
        };
        std::iter::once(words).chain(column.id.map(|_| id))
    });
    cells.collect()
}
