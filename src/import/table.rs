//! What a file holds before anything is understood: rows of cells, within the limits.

use time::Date;

use super::failure::{ImportFailure, LONGEST_CELL, MOST_CELLS, MOST_COLUMNS, MOST_ROWS};

/// The most characters of text in all cells together: a workbook may name one long text in every cell.
const MOST_TEXT: usize = 100 * 1024 * 1024;
/// Rows above the list: titles, blank lines and the headings themselves.
const ROWS_ABOVE: usize = 100;

/// One cell that holds something.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Text, trimmed.
    Text(String),
    /// A number of a workbook: its decimal mark is not in doubt.
    Number(f64),
    /// A number of a workbook that is shown in per cent, as it is shown: 3.2 for 3.2 %.
    Percent(f64),
    /// A day of a workbook.
    Day(Date),
    /// A day of a workbook that is shown as a month or a year, as it is shown: 2021-03, 2021.
    Month(String),
    /// Yes or no of a workbook.
    YesNo(bool),
    /// A formula, which is refused: what it shows depends on where it is opened.
    Formula,
    /// Something that is no value: an error such as #REF!, a time, a day out of reach.
    Fault(String),
}

impl Cell {
    /// The cell as text, to be shown or kept as such.
    pub fn shown(&self) -> String {
        match self {
            Self::Text(text) | Self::Month(text) | Self::Fault(text) => text.clone(),
            Self::Number(number) => number.to_string(),
            Self::Percent(number) => format!("{number} %"),
            Self::Day(day) => crate::domain::date::write_day(*day),
            Self::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
            Self::Formula => "(a formula)".to_owned(),
        }
    }
}

/// One row that holds something; blank cells are not kept.
#[derive(Clone, Debug, PartialEq)]
pub struct TableRow {
    /// The number that a spreadsheet shows beside it, from 1.
    pub number: u32,
    /// The cells by column, counted from 0, in order.
    pub cells: Vec<(usize, Cell)>,
}

impl TableRow {
    /// The cell in a column, if it holds something.
    pub fn cell(&self, column: usize) -> Option<&Cell> {
        let found = self.cells.binary_search_by_key(&column, |(at, _)| *at);
        found.ok().map(|at| &self.cells[at].1)
    }

    /// Puts another cell in the place of one that is there.
    pub(super) fn put(&mut self, column: usize, cell: Cell) {
        if let Ok(at) = self.cells.binary_search_by_key(&column, |(at, _)| *at) {
            self.cells[at].1 = cell;
        }
    }
}

/// What a file holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// The rows that hold something, in order.
    pub rows: Vec<TableRow>,
    /// The sheet that was read, of a workbook.
    pub sheet: Option<String>,
    /// All sheets of the workbook.
    pub sheets: Vec<String>,
    /// How the file was read, in words: "workbook", "UTF-8, cells between commas".
    pub read_as: String,
}

/// Fills a table and holds it to the limits.
pub(super) struct Filling {
    rows: Vec<TableRow>,
    cells: usize,
    text: usize,
}

impl Filling {
    pub(super) fn new() -> Self {
        Self {
            rows: Vec::new(),
            cells: 0,
            text: 0,
        }
    }

    /// Puts a cell in; rows and columns count from 0. Blank text is passed over.
    pub(super) fn put(&mut self, row: u32, column: usize, cell: Cell) -> Result<(), ImportFailure> {
        let number = row.saturating_add(1);
        let cell = match cell {
            Cell::Text(text) => {
                let trimmed = text.trim();
                if trimmed.is_empty() {
                    return Ok(());
                }
                let length = trimmed.chars().count();
                if length > LONGEST_CELL {
                    return Err(ImportFailure::Long {
                        row: number,
                        column: column_letters(column),
                        given: length,
                    });
                }
                self.text += trimmed.len();
                Cell::Text(trimmed.to_owned())
            }
            other => other,
        };
        if column >= MOST_COLUMNS {
            return Err(ImportFailure::Columns {
                row: number,
                column: column_letters(column),
            });
        }
        self.cells += 1;
        if self.cells > MOST_CELLS || self.text > MOST_TEXT {
            return Err(ImportFailure::Cells { row: number });
        }
        self.row(number)?.push((column, cell));
        Ok(())
    }

    fn row(&mut self, number: u32) -> Result<&mut Vec<(usize, Cell)>, ImportFailure> {
        if self.rows.last().is_none_or(|last| last.number != number) {
            if self.rows.len() >= MOST_ROWS + ROWS_ABOVE {
                return Err(ImportFailure::Rows { row: number });
            }
            self.rows.push(TableRow {
                number,
                cells: Vec::new(),
            });
        }
        let last = self.rows.len() - 1;
        Ok(&mut self.rows[last].cells)
    }

    /// The rows, sorted and each cell once, as a workbook written by another program may not be.
    pub(super) fn rows(mut self) -> Result<Vec<TableRow>, ImportFailure> {
        if self.rows.is_empty() {
            return Err(ImportFailure::Empty);
        }
        self.rows.sort_by_key(|row| row.number);
        self.rows.dedup_by(|later, earlier| {
            let same = later.number == earlier.number;
            if same {
                earlier.cells.append(&mut later.cells);
            }
            same
        });
        for row in &mut self.rows {
            row.cells.sort_by_key(|(column, _)| *column);
            row.cells.dedup_by_key(|(column, _)| *column);
        }
        Ok(self.rows)
    }
}

/// The letters that a spreadsheet shows above a column, counted from 0.
pub fn column_letters(column: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = column;
    loop {
        letters.extend(('A'..='Z').nth(rest % 26));
        if rest < 26 {
            break;
        }
        rest = rest / 26 - 1;
    }
    letters.into_iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::column_letters;

    #[test]
    fn columns_are_named_as_a_spreadsheet_names_them() {
        let named: Vec<_> = [0, 25, 26, 51, 52, 701, 702]
            .map(column_letters)
            .into_iter()
            .collect();
        assert_eq!(named, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
