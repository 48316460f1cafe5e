//! Tables for the terminal: columns as wide as their widest word.

use std::fmt;

/// A table of words.
#[derive(Default)]
pub(super) struct Columns {
    rows: Vec<Vec<String>>,
}

impl Columns {
    /// A table under these headings.
    pub(super) fn under(headings: impl IntoIterator<Item = impl Into<String>>) -> Self {
        let mut columns = Self::default();
        columns.row(headings);
        columns
    }

    /// One row more.
    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = impl Into<String>>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }

    fn width(&self, column: usize) -> usize {
        let cells = self.rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    }
}

impl fmt::Display for Columns {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for row in &self.rows {
            let mut line = String::from(" ");
            for (at, cell) in row.iter().enumerate() {
                let blanks = self.width(at) - cell.chars().count();
                line.extend([" ", cell, &" ".repeat(blanks + 1)]);
            }
            writeln!(f, "{}", line.trim_end())?;
        }
        Ok(())
    }
}
