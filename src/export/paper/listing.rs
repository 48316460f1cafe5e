//! Rows on paper: the columns that paper has room for, as a table.

use super::{Cell, Column, record::Imprint};
use crate::{
    domain::date::write_day,
    export::{
        FileForm,
        rows::{Heading, Rest, Rows, RowsError},
    },
};

/// The most rows. All of them are laid out at once, and nobody reads more on paper.
pub const MOST_ROWS: usize = 2000;

/// A table that is being gathered; it is laid out at its end.
pub(in crate::export) struct Listing {
    heading: Heading,
    rows: Vec<Vec<Cell>>,
}

impl Listing {
    pub fn new(heading: Heading) -> Self {
        Self {
            heading,
            rows: Vec::new(),
        }
    }

    /// A cell in words: moments on the clocks of the team.
    fn cell(&self, cell: &crate::export::Cell<'_>) -> Cell {
        match cell {
            crate::export::Cell::Moment(at) => Cell::new(self.heading.team.time_zone.words(*at)),
            crate::export::Cell::Day(day) => Cell::new(write_day(*day)),
            other if other.is_nothing() => Cell::new("\u{2013}"),
            other => Cell::new(other.word()),
        }
    }

    /// What paper has no room for.
    fn left_out(&self) -> Option<String> {
        let columns = self.heading.columns.iter();
        let names = columns.filter(|column| column.paper.is_none());
        let names: Vec<&str> = names.map(|column| column.name).collect();
        (!names.is_empty()).then(|| {
            format!(
                "Paper has no room for these columns, which CSV, JSON Lines and XLSX have: {}.",
                names.join(", ")
            )
        })
    }
}

impl Rows for Listing {
    fn row(&mut self, cells: &[crate::export::Cell<'_>], _key: &str) -> Result<(), RowsError> {
        if self.rows.len() == MOST_ROWS {
            return Err(RowsError::TooMany {
                form: FileForm::Pdf,
                most: MOST_ROWS,
            });
        }
        let columns = self.heading.columns.iter().zip(cells);
        let cells = columns.filter(|(column, _)| column.paper.is_some());
        let cells = cells.map(|(_, cell)| self.cell(cell)).collect();
        self.rows.push(cells);
        Ok(())
    }

    fn taken(&mut self) -> Vec<u8> {
        Vec::new()
    }

    fn end(self: Box<Self>) -> Result<Rest, RowsError> {
        let heading = &self.heading;
        let imprint = Imprint {
            team: &heading.team.name,
            zone: &heading.team.time_zone,
            by: heading.by.as_deref(),
            at: heading.at,
            paper: heading.paper,
        };
        let mut sheet = imprint.sheet(&heading.title);
        for words in &heading.told {
            sheet.paragraph(words);
        }
        sheet.paragraph(&match self.rows.len() {
            0 => "There are no rows.".to_owned(),
            1 => "One row. A dash is not known, or none.".to_owned(),
            rows => format!("{rows} rows. A dash is not known, or none."),
        });
        if let Some(words) = self.left_out() {
            sheet.paragraph(&words);
        }
        let columns = heading.columns.iter();
        let names: Vec<(String, f32)> = columns
            .filter_map(|column| Some((column.words(), column.paper?)))
            .collect();
        let columns = names.iter();
        let columns: Vec<Column<'_>> = columns
            .map(|(name, part)| Column { name, part: *part })
            .collect();
        if !self.rows.is_empty() {
            sheet.table(&columns, &self.rows);
        }
        Ok(Rest::Bytes(sheet.written()?))
    }
}
