//! A column whose cells nearly all fail under its meaning: that is told once, not of every row.

use std::collections::{BTreeMap, BTreeSet};

use super::fate::RowError;
use super::heading::{Headings, shortened};

/// The word for programs that a column was read as something that it is not.
pub(super) const CODE: &str = "column";

/// Puts one error in the place of those of a column of which most cells cannot be read as what it was said to be.
pub(super) fn gather(errors: &mut Vec<RowError>, headings: &Headings) {
    /// Fewer cells may be mistakes of their own.
    const ENOUGH: usize = 10;
    let mut failed: BTreeMap<String, BTreeSet<u32>> = BTreeMap::new();
    for error in errors.iter().filter(|error| of_cell(error)) {
        let column = error.column.clone().unwrap_or_default();
        failed.entry(column).or_default().insert(error.row);
    }
    for column in &headings.columns {
        let Some(field) = column.field() else {
            continue;
        };
        let letters = column.letters();
        let rows = failed.get(&letters).map_or(0, BTreeSet::len);
        if rows < ENOUGH || rows * 3 < column.filled * 2 {
            continue;
        }
        let is_its = |error: &RowError| of_cell(error) && error.column.as_ref() == Some(&letters);
        let first = errors.iter().find(|error| is_its(error));
        let first = first.map_or(0, |error| error.row);
        errors.retain(|error| !is_its(error));
        errors.push(RowError::at(
            headings.row,
            column,
            CODE,
            format!(
                "{rows} of {} cells of \"{}\" cannot be read as \"{}\", first in row {first}, such as \"{}\". Say under \"The columns\" what else it is, or keep it in the note.",
                column.filled,
                shortened(&column.heading),
                field.label(),
                column.example
            ),
        ));
    }
}

/// Whether an error says that a cell cannot be read.
fn of_cell(error: &RowError) -> bool {
    error.column.is_some() && matches!(error.code.as_str(), "number" | "unit" | "date" | "choice")
}
