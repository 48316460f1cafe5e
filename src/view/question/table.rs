//! A table of rows of whatever columns, as a page shows it.

use askama::Template;

use super::super::part::html_parts;
use crate::domain::{
    Zone,
    date::write_day,
    question::{Cell, Column, Row, To},
};

/// The table; without rows it is nothing.
#[derive(Clone, Debug, Template)]
#[template(path = "part/rows.html")]
pub struct RowsTable {
    caption: String,
    columns: Vec<&'static str>,
    rows: Vec<Vec<Said>>,
}

html_parts!(RowsTable);

/// A cell of the table.
#[derive(Clone, Debug)]
struct Said {
    title: &'static str,
    words: String,
    href: Option<String>,
}

impl RowsTable {
    /// A table of these rows, its moments on the clocks of `zone`.
    pub fn new(caption: impl Into<String>, columns: &[Column], rows: &[Row], zone: &Zone) -> Self {
        let rows = rows.iter().map(|row| {
            let cells = columns.iter().zip(&row.cells);
            cells
                .map(|(column, cell)| said(*column, cell, zone))
                .collect()
        });
        Self {
            caption: caption.into(),
            columns: columns.iter().map(|column| column.title).collect(),
            rows: rows.collect(),
        }
    }

    /// Whether it has no row.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

fn said(column: Column, cell: &Cell, zone: &Zone) -> Said {
    let words = match cell {
        Cell::Nothing => "–".to_owned(),
        Cell::Text(text) => text.clone(),
        Cell::Day(day) => write_day(*day),
        Cell::Moment(at) => zone.words(*at),
        Cell::Number(number) => number.to_string(),
        Cell::Record(_, name) => name.clone(),
    };
    let href = match cell {
        Cell::Record(To::Item(id), _) => Some(format!("/items/{id}")),
        Cell::Record(To::Job(id), _) => Some(format!("/jobs/{id}")),
        Cell::Record(To::Model(id), _) => Some(format!("/models/{id}")),
        Cell::Record(To::Notice(id), _) => Some(format!("/notices/{id}")),
        Cell::Record(To::Examination(item, id), _) => {
            Some(format!("/items/{item}/examinations/{id}"))
        }
        _ => None,
    };
    Said {
        title: column.title,
        words,
        href,
    }
}
