//! A line below the headings that says the units of the columns: "mm", "kN", "kg".

use super::heading::Headings;
use super::remark::Remarks;
use super::table::{Cell, TableRow};
use super::unit::Unit;

/// What such a line says of columns without a unit.
const OTHERS: &str = "text, date, datum, year, yyyy, jahr, année, pcs, pc, stk, no, nr, unit, units, einheit, einheiten, unité, unités, \
                      yes/no, y/n, ja/nein, oui/non";

/// The unit of a cell that says nothing else, in brackets or not.
fn unit(cell: &Cell) -> Option<Unit> {
    match cell {
        Cell::Text(text) => Unit::from_words(bare(text)).filter(|unit| *unit != Unit::OfOne),
        _ => None,
    }
}

fn bare(text: &str) -> &str {
    text.trim()
        .trim_matches(|c| matches!(c, '[' | ']' | '(' | ')'))
        .trim()
}

/// Whether a cell says of a column without a unit that it has none.
fn is_other(cell: &Cell) -> bool {
    let Cell::Text(text) = cell else { return false };
    let text = bare(text).to_lowercase();
    let is_word = OTHERS.split(", ").any(|other| other.trim() == text);
    !text.contains(char::is_alphanumeric) || is_word || is_date_pattern(&text)
}

/// Whether it shows how a date is written: "dd.mm.yyyy", "MM.JJJJ", "yyyy-mm". A year says that it is none of "mm" and "m".
fn is_date_pattern(text: &str) -> bool {
    let parts: Vec<&str> = text.split(['.', '/', '-', ' ']).collect();
    let is_year = |part: &&str| ["yyyy", "yy", "jjjj", "aaaa"].contains(part);
    let is_part = |part: &&str| ["dd", "d", "tt", "t", "jj", "mm", "m", "mmm"].contains(part);
    parts.iter().any(is_year) && parts.iter().all(|part| is_year(part) || is_part(part))
}

/// The line of units, if the first row is one, and the rows of the items.
pub(super) fn split(rows: &[TableRow]) -> (Option<&TableRow>, &[TableRow]) {
    match rows {
        [line, items @ ..] if is_one(line) && !items.is_empty() => (Some(line), items),
        _ => (None, rows),
    }
}

fn is_one(row: &TableRow) -> bool {
    let mut cells = row.cells.iter().map(|(_, cell)| cell);
    let says = cells.clone().any(|cell| unit(cell).is_some());
    says && cells.all(|cell| unit(cell).is_some() || is_other(cell))
}

/// The units of a column: those of its heading, and that of the line below. Where they are two, its bare numbers are asked
/// about.
pub(super) fn beside(mut named: Vec<Unit>, line: Option<&TableRow>, column: usize) -> Vec<Unit> {
    let said = line.and_then(|line| line.cell(column)).and_then(unit);
    named.extend(said.filter(|unit| !named.contains(unit)));
    named
}

/// Says that the line was read so.
pub(super) fn told(headings: &Headings, mut remarks: Remarks) -> Remarks {
    if let Some(row) = headings.units_row {
        let sentence = "The line below the headings is no item: it says the units of the columns.";
        remarks.add(row, sentence.to_owned());
    }
    remarks
}
