//! The columns whose numbers name no unit: which of them wait for one, and what was said of the others.

use std::collections::BTreeMap;

use super::cell::Place;
use super::heading::{Column, shortened};
use super::quantity;
use super::question::Question;
use super::remark::Remarks;
use super::table::Cell;
use super::unit::{self, Unit};
use crate::domain::is_bare_per_cent;

/// The numbers without a unit, by the index of their column.
#[derive(Debug, Default)]
pub(super) struct Units {
    waiting: BTreeMap<usize, Waiting>,
    said: BTreeMap<usize, Said>,
    per_cent: BTreeMap<usize, PerCent>,
}

/// Shares that are read as per cent because the heading says so.
#[derive(Debug)]
struct PerCent {
    cells: usize,
    first_row: u32,
    example: f64,
}

/// Numbers that wait for a unit.
#[derive(Debug)]
struct Waiting {
    cells: usize,
    first_row: u32,
    example: String,
}

/// Numbers that are read in the unit that a person said.
#[derive(Debug)]
struct Said {
    cells: usize,
    first_row: u32,
    least: f64,
    most: f64,
}

impl Units {
    /// A cell whose number waits for a unit.
    pub(super) fn wait(&mut self, column: &Column, cell: &Cell, row: u32) {
        let waiting = self.waiting.entry(column.index).or_insert_with(|| Waiting {
            cells: 0,
            first_row: row,
            example: shortened(&cell.shown()),
        });
        waiting.cells += 1;
    }

    /// A cell that was read; whether its unit was said is seen here.
    pub(super) fn read(&mut self, cell: &Cell, place: Place<'_>, row: u32) {
        let column = place.column;
        if unit::is_share(place.field) {
            let is_told =
                |value: &f64| is_bare_per_cent(*value) || column.unit == Some(Unit::PerCent);
            for value in quantity::bare(cell, place).into_iter().filter(is_told) {
                self.per_cent(column, value, row);
            }
        }
        if column.unit.is_some() || column.said_unit.is_none() {
            return;
        }
        let values = quantity::bare(cell, place);
        let Some(first) = values.first() else { return };
        let said = self.said.entry(column.index).or_insert(Said {
            cells: 0,
            first_row: row,
            least: *first,
            most: *first,
        });
        said.cells += 1;
        for value in values {
            said.least = said.least.min(value);
            said.most = said.most.max(value);
        }
    }

    /// A share without a sign that is read as per cent; up to one it may be a share as it stands.
    fn per_cent(&mut self, column: &Column, value: f64, row: u32) {
        if value > 1.0 {
            let seen = self.per_cent.entry(column.index).or_insert(PerCent {
                cells: 0,
                first_row: row,
                example: value,
            });
            seen.cells += 1;
        }
    }

    /// One question for each column that waits.
    pub(super) fn questions(&self, columns: &[Column]) -> Vec<Question> {
        let question = |column: &Column| {
            let waiting = self.waiting.get(&column.index)?;
            let units = column.field().map(Unit::of).unwrap_or_default();
            Some(Question::Unit {
                column: column.index,
                heading: column.heading.clone(),
                cells: waiting.cells,
                first_row: waiting.first_row,
                example: waiting.example.clone(),
                refused: column.said_unit,
                units,
                before: None,
            })
        };
        columns.iter().filter_map(question).collect()
    }

    /// Says in which unit numbers are read, and how far they reach: a wrong unit shows there.
    pub(super) fn remark(&self, columns: &[Column], remarks: &mut Remarks) {
        for column in columns {
            if let Some(seen) = self.per_cent.get(&column.index) {
                let why = match column.unit {
                    Some(Unit::PerCent) => "as the heading says",
                    _ => "as no share is above 1",
                };
                let sentence = format!(
                    "The numbers above 1 under \"{}\" are read as per cent, {why}: {} is the share {}.",
                    shortened(&column.heading),
                    seen.example,
                    quantity::shifted(seen.example, -2)
                );
                remarks.add_all(seen.cells, seen.first_row, sentence);
            }
            if let (Some(said), Some(unit)) = (self.said.get(&column.index), column.said_unit) {
                let (least, most) = (said.least.to_string(), said.most.to_string());
                let reach = if least == most {
                    least
                } else {
                    format!("{least} to {most}")
                };
                let sentence = format!(
                    "The numbers under \"{}\" that name no unit ({reach}) are read in {}, as was said.",
                    shortened(&column.heading),
                    unit.words()
                );
                remarks.add_all(said.cells, said.first_row, sentence);
            }
        }
    }
}
