//! Columns about beckets: below "Becket" one list says whether there is one, another what it holds.
//!
//! Common practice, no source: a strength that nobody calls a limit is a breaking strength.

use super::cell_look::is_yes_or_no;
use super::field::{Field, attributes_named};
use super::guess;
use super::heading::{Column, ColumnUse, Headings, shortened};
use super::number;
use super::question::lower_first;
use super::row::{Given, ReadRow, Reading};
use super::table::{Cell, TableRow};
use super::unit::Unit;
use crate::rigging::{LoadingMode, StrengthKind};

/// What a becket holds.
pub(super) const STRENGTH: Field =
    Field::Strength(StrengthKind::Breaking, Some(LoadingMode::Becket));

/// Whether there is one.
pub(super) const THERE: Field = Field::Attribute("becket");

/// Whether a field is a strength of beckets, which none has that is not there.
pub(super) fn is_strength(field: Field) -> bool {
    matches!(field, Field::Strength(_, Some(LoadingMode::Becket)))
}

/// What a column is that was read as whether there is a becket, where it holds something else: under a heading with a
/// unit of force it is what the becket holds, and where most cells are numbers it is asked.
pub(super) fn otherwise(column: &Column, rows: &[TableRow]) -> Option<ColumnUse> {
    if column.field() != Some(THERE) {
        return None;
    }
    if column.units.iter().any(|unit| unit.fits(STRENGTH)) {
        return Some(ColumnUse::Field(STRENGTH));
    }
    guess::are_mostly(column, rows, is_amount).then(|| ColumnUse::Unknown(vec![STRENGTH, THERE]))
}

/// Whether a cell is a number, with the unit of a strength or none, and no word for yes or no.
pub(super) fn is_amount(cell: &Cell) -> bool {
    let amount = match cell {
        Cell::Number(_) => true,
        Cell::Text(text) => {
            number::split(text).is_some_and(|(_, rest)| rest.is_empty() || is_unit(rest))
        }
        _ => false,
    };
    amount && !is_yes_or_no(cell)
}

fn is_unit(word: &str) -> bool {
    Unit::measured(word).is_some_and(|unit| unit.fits(STRENGTH))
}

/// What a cell is read as: in a column of both, "18 kN" is what the becket holds and "no" that there is none. What has
/// a column of its own stands there.
fn field_for(headings: &Headings, field: Field, cell: &Cell) -> Field {
    let Cell::Text(text) = cell else { return field };
    let names_unit = || number::split(text).is_some_and(|(_, rest)| is_unit(rest));
    let other = match field {
        THERE if names_unit() => STRENGTH,
        field if is_strength(field) && says_whether(text) => THERE,
        _ => return field,
    };
    match headings.of(other) {
        None => other,
        Some(_) => field,
    }
}

fn says_whether(text: &str) -> bool {
    let is_word = text.starts_with(char::is_alphabetic);
    is_word && attributes_named("becket").any(|becket| becket.read(text).is_ok())
}

/// What is wrong with a cell, and what else it may be.
pub(super) fn advised(field: Field, cell: &Cell, message: String) -> String {
    if field != THERE || !is_amount(cell) {
        return message;
    }
    format!(
        "{message} If it is what the becket holds, write the unit behind it, such as 18 kN, or say that the column is \"{}\".",
        STRENGTH.label()
    )
}

impl Reading<'_> {
    /// What a cell is read as, and says so where that is not what its column is.
    pub(super) fn of_becket(
        &mut self,
        cell: &Cell,
        (column, field): (&Column, Field),
        read: &ReadRow,
    ) -> Field {
        let of = field_for(self.headings, field, cell);
        if of != field && is_strength(of) {
            let sentence = format!(
                "\"{}\" under \"{}\" is read as the {}.",
                shortened(&cell.shown()),
                shortened(&column.heading),
                lower_first(&of.label())
            );
            self.read.remarks.add(read.number, sentence);
        }
        of
    }
}

impl ReadRow {
    /// Where a becket has a strength, there is one.
    pub(super) fn tell_becket(&mut self) {
        let strength = self.values.iter().find(|(field, _)| is_strength(**field));
        let shown = strength.map(|(_, given)| given.shown.clone());
        if let Some(shown) = shown.filter(|_| !self.says(THERE)) {
            let text = "yes".to_owned();
            self.values.entry(THERE).or_insert(Given { text, shown });
        }
    }
}
