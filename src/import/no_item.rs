//! Rows that are no items: titles between the items, and totals below them.

use super::fate::RemarkKind;
use super::field::Field;
use super::heading::{ColumnUse, Headings, shortened};
use super::remark::{Remarks, rows_listed};
use super::synonym::plain_words;
use super::table::{Cell, TableRow};

/// The rows that were found to be no items.
#[derive(Debug, Default)]
pub(super) struct NoItems {
    rows: Vec<u32>,
    example: String,
}

impl NoItems {
    /// Whether a row is no item; it is kept in mind.
    ///
    /// A row with one cell alone, in a list that has more to say of its items, is a title. A row of which a cell begins with
    /// a word for a total, and that names no model and no kind, is one; what is kept in notes may begin with any word.
    pub(super) fn is_one(&mut self, row: &TableRow, headings: &Headings) -> bool {
        /// A list of fewer columns may say no more of an item than one cell.
        const FEW: usize = 3;
        let Some((_, first)) = row.cells.first() else {
            return false;
        };
        let filled = headings
            .columns
            .iter()
            .filter(|column| column.filled > 0)
            .count();
        let is_alone = row.cells.len() == 1 && filled > FEW;
        let is_note = |at: usize| {
            let mut columns = headings.columns.iter();
            let column = columns.find(|column| column.index == at);
            column.is_some_and(|column| {
                matches!(
                    column.becomes,
                    ColumnUse::InNote | ColumnUse::Field(Field::Note)
                )
            })
        };
        let mut cells = row.cells.iter();
        let total = cells.find(|(at, cell)| totals(cell) && (cell == first || !is_note(*at)));
        // What is counted or summed up is no word for a kind or a model.
        let says = |field: Field| {
            let column = headings.of(field);
            let cell = column.and_then(|column| row.cell(column.index));
            cell.is_some_and(|cell| !totals(cell) && is_word(cell))
        };
        let is_total = total.is_some() && !says(Field::Model) && !says(Field::Kind);
        if is_alone || is_total {
            self.rows.push(row.number);
            if self.example.is_empty() {
                let shown = total.map_or(first, |(_, cell)| cell).shown();
                self.example = shortened(&shown);
            }
        }
        is_alone || is_total
    }

    /// Says which rows were left out and why.
    pub(super) fn remark(&self, remarks: &mut Remarks) {
        if !self.rows.is_empty() {
            let sentence = format!(
                "A title or a total is no item: {} left out, such as \"{}\".",
                rows_listed(&self.rows),
                self.example
            );
            remarks.add_rows(RemarkKind::Other, &self.rows, &sentence);
        }
    }
}

/// Whether a cell says what a thing is: "213 items" says how many there are.
fn is_word(cell: &Cell) -> bool {
    match cell {
        Cell::Text(text) => !text.trim_start().starts_with(|c: char| c.is_ascii_digit()),
        _ => false,
    }
}

/// Whether a cell begins with a word for a total.
fn totals(cell: &Cell) -> bool {
    let words = plain_words(&cell.shown());
    let mut words = words.split(' ');
    match words.next() {
        Some(
            "total" | "totals" | "subtotal" | "sum" | "summe" | "gesamt" | "zwischensumme"
            | "teilsumme" | "gesamtsumme",
        ) => true,
        Some("grand" | "sub") => words.next() == Some("total"),
        _ => false,
    }
}
