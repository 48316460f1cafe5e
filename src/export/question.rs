//! The answer to a question, and a past, as rows of a file: a column a column, and the ids of records in columns of their own.

use super::{
    cell::{day, moment, number},
    lines, sheet,
};
use crate::domain::question::{Cell, Column, Row};

/// The beginning of the file: the mark and the headings.
pub fn beginning(columns: &[Column]) -> Vec<u8> {
    let headings = columns.iter().flat_map(|column| names(*column));
    let headings: Vec<String> = headings.collect();
    sheet(&headings, &[])
}

/// The names of a column of the table in a file.
fn names(column: Column) -> Vec<String> {
    let id = column.is_record.then(|| format!("{}_id", column.key));
    std::iter::once(column.key.to_owned()).chain(id).collect()
}

/// Rows of it.
pub fn rows(columns: &[Column], rows: &[Row]) -> Vec<u8> {
    let cells = |row: &Row| -> Vec<String> {
        let columns = columns.iter().zip(&row.cells);
        columns
            .flat_map(|(column, cell)| written(*column, cell))
            .collect()
    };
    let rows: Vec<Vec<String>> = rows.iter().map(cells).collect();
    lines(rows.iter().map(Vec::as_slice))
}

/// A cell of the table in a file: its words, and the id behind them where the column is of records.
fn written(column: Column, cell: &Cell) -> Vec<String> {
    let (words, id) = match cell {
        Cell::Nothing => (String::new(), String::new()),
        Cell::Text(text) => (text.clone(), String::new()),
        Cell::Day(on) => (day(Some(*on)).word().into_owned(), String::new()),
        Cell::Moment(at) => (moment(*at).word().into_owned(), String::new()),
        Cell::Number(count) => (number(*count).word().into_owned(), String::new()),
        Cell::Record(to, name) => (name.clone(), to.id().to_string()),
    };
    let id = column.is_record.then_some(id);
    std::iter::once(words).chain(id).collect()
}
