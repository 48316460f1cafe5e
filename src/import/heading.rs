//! Finds the line of headings and says what becomes of each column.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Answers, DateOrder, Target};
use super::failure::{ImportFailure, MOST_ROWS};
use super::field::Field;
use super::guess::Guess;
use super::left_out::WHY_LEFT_OUT;
use super::synonym::{hints, recognise, suggestions};
use super::table::{Cell, Table, TableRow, column_letters};
use super::unit::Unit;
use super::{content, figures_asked, units_line};
use crate::domain::fold;

/// How many rows at the top may be titles before the headings come.
pub(super) const ROWS_LOOKED_AT: usize = 20;

/// What becomes of a column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum ColumnUse {
    /// Its cells are read as a field.
    Field(Field),
    /// Its cells are kept in each item's note.
    InNote,
    /// It is left out: somebody said so, or there is nothing in it.
    #[default]
    LeftOut,
    /// Nobody knows yet; the likeliest fields are offered.
    Unknown(Vec<Field>),
}

/// A column and its heading.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Column {
    /// Counted from 0.
    pub index: usize,
    /// The heading as it stands there, or `column G` where there is none.
    pub heading: String,
    /// What becomes of it.
    pub becomes: ColumnUse,
    /// The unit that the heading carries for what its cells are read as.
    pub unit: Option<Unit>,
    /// What it most likely is, where nobody knows yet.
    pub guess: Option<Guess>,
    /// All units that the heading names.
    pub(super) units: Vec<Unit>,
    /// The unit that a person said its numbers have.
    pub said_unit: Option<Unit>,
    /// The order of day and month that the heading carries.
    pub dates: Option<DateOrder>,
    /// How many cells below the heading hold something.
    pub filled: usize,
    /// The first of them.
    pub example: String,
}

impl Column {
    /// The field that its cells are read as.
    pub fn field(&self) -> Option<Field> {
        match self.becomes {
            ColumnUse::Field(field) => Some(field),
            _ => None,
        }
    }

    /// Whether nobody knows yet what it is.
    pub(super) fn is_unknown(&self) -> bool {
        matches!(self.becomes, ColumnUse::Unknown(_))
    }

    /// The unit of the numbers that name none themselves, or that of the heading if it is none of the field.
    pub(super) fn unit_for(&self, field: Field) -> Result<Option<Unit>, Unit> {
        match (self.unit, self.said_unit) {
            (Some(unit), _) if !unit.fits(field) => Err(unit),
            (Some(unit), _) => Ok(Some(unit)),
            (None, said) => Ok(said.filter(|unit| unit.fits(field))),
        }
    }

    /// The letters above it in a spreadsheet.
    pub fn letters(&self) -> String {
        column_letters(self.index)
    }
}

/// The line of headings and the columns below it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Headings {
    /// The number of the line.
    pub row: u32,
    /// The columns that have a heading or hold something.
    pub columns: Vec<Column>,
    /// The line below them that says the units of the columns, where there is one.
    pub(super) units_row: Option<u32>,
}

impl Headings {
    /// The column that is read as a field.
    pub fn of(&self, field: Field) -> Option<&Column> {
        self.columns
            .iter()
            .find(|column| column.field() == Some(field))
    }

    /// The fields that more than one column is read as and only one can be, with those columns. Ranges of rope may stand in
    /// several: one for all approvals, another for one of them or for a use.
    pub(super) fn doubled(&self) -> Vec<(Field, Vec<&Column>)> {
        let mut by_field: BTreeMap<Field, Vec<&Column>> = BTreeMap::new();
        for column in &self.columns {
            if let Some(field) = column.field() {
                by_field.entry(field).or_default().push(column);
            }
        }
        by_field.retain(|field, columns| columns.len() > 1 && *field != Field::RopeRange);
        by_field.into_iter().collect()
    }
}

/// How many cells of a row are headings that are known.
pub(super) fn recognised_in(row: &TableRow) -> usize {
    let texts = row.cells.iter().filter_map(|(_, cell)| match cell {
        Cell::Text(text) => Some(text),
        _ => None,
    });
    texts.filter(|text| recognise(text).is_some()).count()
}

/// Finds the headings, and gives the rows below them.
pub(super) fn find<'a>(
    table: &'a Table,
    answers: &Answers,
) -> Result<(Headings, &'a [TableRow]), ImportFailure> {
    // The line with the most known headings; titles above have none, or one by chance.
    let mut best = (1, 0);
    for (at, row) in table.rows.iter().take(ROWS_LOOKED_AT).enumerate() {
        let known = recognised_in(row);
        if known > best.0 {
            best = (known, at);
        }
    }
    let line = table.rows.get(best.1).ok_or(ImportFailure::Empty)?;
    let rows = &table.rows[best.1 + 1..];
    let (units, rows) = units_line::split(rows);
    if rows.is_empty() {
        let met: Vec<String> = line.cells.iter().map(|(_, cell)| cell.shown()).collect();
        return Err(ImportFailure::NoRows {
            row: line.number,
            met: shortened(&met.join("; ")),
        });
    }
    if let Some(beyond) = rows.get(MOST_ROWS) {
        return Err(ImportFailure::Rows { row: beyond.number });
    }
    let columns = columns((line, units), rows, answers);
    no_heading_twice(&columns)?;
    every_answer_has_a_heading(&columns, answers)?;
    let row = line.number;
    let units_row = units.map(|line| line.number);
    let headings = Headings {
        row,
        columns,
        units_row,
    };
    Ok((headings, rows))
}

fn columns(
    (line, units): (&TableRow, Option<&TableRow>),
    rows: &[TableRow],
    answers: &Answers,
) -> Vec<Column> {
    let mut filled: BTreeMap<usize, (usize, String)> = BTreeMap::new();
    let mut is_title = false;
    for row in rows {
        for (column, cell) in &row.cells {
            let seen = filled
                .entry(*column)
                .or_insert_with(|| (0, shortened(&cell.shown())));
            // A title between the items is no example of them.
            if seen.0 == 1 && row.cells.len() > 1 && is_title {
                seen.1 = shortened(&cell.shown());
            }
            seen.0 += 1;
        }
        is_title = row.cells.len() == 1;
    }
    for (column, _) in &line.cells {
        filled.entry(*column).or_default();
    }
    let columns = filled.into_iter();
    let mut seen = BTreeSet::new();
    let mut columns: Vec<Column> = columns
        .map(|(index, (filled, example))| {
            let written = line.cell(index).map(Cell::shown);
            let written = written.unwrap_or_else(|| format!("column {}", column_letters(index)));
            // The same heading a second time is told apart by its letters.
            let heading = if seen.insert(fold(&written)) {
                written.clone()
            } else {
                format!("{written} (column {})", column_letters(index))
            };
            let (hints, _) = hints(&written);
            let becomes = becomes((&written, &heading), filled, answers);
            Column {
                index,
                said_unit: answers.unit(&heading),
                heading,
                becomes,
                unit: None,
                guess: None,
                units: units_line::beside(hints.units, units, index),
                dates: hints.dates,
                filled,
                example,
            }
        })
        .collect();
    content::look_again(&mut columns, rows, answers);
    for column in &mut columns {
        column.unit = Unit::among(&column.units, column.field());
    }
    columns
}

/// What becomes of the column under a heading as it is written, and as answers name it.
fn becomes((written, heading): (&str, &str), filled: usize, answers: &Answers) -> ColumnUse {
    match answers.heading(heading) {
        Some(Target::Field(field)) => ColumnUse::Field(field),
        Some(Target::InNote) if figures_asked::is_read(answers, heading) => {
            ColumnUse::Field(Field::Figures)
        }
        Some(Target::InNote) => ColumnUse::InNote,
        Some(Target::LeaveOut) => ColumnUse::LeftOut,
        None => match recognise(written) {
            Some(found) => ColumnUse::Field(found.field),
            None if filled == 0 || written == WHY_LEFT_OUT => ColumnUse::LeftOut,
            None => ColumnUse::Unknown(suggestions(written)),
        },
    }
}

fn no_heading_twice(columns: &[Column]) -> Result<(), ImportFailure> {
    let mut seen: BTreeMap<String, &Column> = BTreeMap::new();
    for column in columns {
        if let Some(first) = seen.insert(fold(&column.heading), column) {
            return Err(ImportFailure::SameHeading {
                heading: shortened(&column.heading),
                first: first.letters(),
                second: column.letters(),
            });
        }
    }
    Ok(())
}

fn every_answer_has_a_heading(columns: &[Column], answers: &Answers) -> Result<(), ImportFailure> {
    let known: Vec<String> = columns.iter().map(|column| fold(&column.heading)).collect();
    let mut said = answers.headings.keys().chain(answers.units.keys());
    match said.find(|said| !known.contains(&fold(said))) {
        None => said_against_heading(columns),
        Some(said) => Err(ImportFailure::NoHeading {
            heading: shortened(said),
            headings: columns
                .iter()
                .map(|column| shortened(&column.heading))
                .collect::<Vec<_>>()
                .join(", "),
        }),
    }
}

/// A heading says its unit itself; nobody may say another.
fn said_against_heading(columns: &[Column]) -> Result<(), ImportFailure> {
    for column in columns {
        if let (Some(unit), Some(said)) = (column.unit, column.said_unit)
            && unit != said
        {
            return Err(ImportFailure::OtherUnit {
                heading: shortened(&column.heading),
                unit: unit.sign(),
                said: said.sign(),
            });
        }
    }
    Ok(())
}

/// A text cut to a length that still fits in a sentence.
pub(super) fn shortened(text: &str) -> String {
    let mut short: String = text.chars().take(60).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}
