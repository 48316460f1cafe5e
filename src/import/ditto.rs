//! Cells that say no more than that the line above says it: "do.", "ditto", a quotation mark.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::fate::RemarkKind;
use super::field::Field;
use super::heading::{Headings, shortened};
use super::remark::Remarks;
use super::serial_or_lot;
use super::synonym::each;
use super::table::{Cell, TableRow};

/// What is written for "as in the line above".
const WORDS: &str = "do., do, ditto, dito, dto., dto, dtto, idem, id., same, same as above, as above, as before, wie oben, \
     s. o., s.o., desgl., dgl., idem ci-dessus, \", '', “, ”, „, 〃, -\"-, - \" -, –\"–, \"\"";

pub(super) fn is_one(cell: &Cell) -> bool {
    matches!(cell, Cell::Text(text) if each(WORDS).any(|one| one == text.trim().to_lowercase()))
}

/// The rows with what stands above in the place of each such cell, which is told once for each column. A row with one
/// cell alone is a title between the items, and no line to look up to.
pub(super) fn filled<'a>(
    headings: &Headings,
    rows: &'a [TableRow],
) -> (Cow<'a, [TableRow]>, Remarks) {
    let mut remarks = Remarks::default();
    let mut cells = rows.iter().flat_map(|row| &row.cells);
    if !cells.any(|(_, cell)| is_one(cell)) {
        return (Cow::Borrowed(rows), remarks);
    }
    // A serial is one item's own, and nobody else's; a lot may be that of the line above.
    let serials = headings.columns.iter().filter(|column| {
        column.field() == Some(Field::Serial) && !serial_or_lot::is_either(column)
    });
    let serials: Vec<usize> = serials.map(|column| column.index).collect();
    let mut filled = rows.to_vec();
    let mut found: BTreeMap<usize, (Vec<u32>, String)> = BTreeMap::new();
    let mut above: Option<usize> = None;
    for at in 0..filled.len() {
        let same: Vec<usize> = filled[at]
            .cells
            .iter()
            .filter(|(column, cell)| is_one(cell) && !serials.contains(column))
            .map(|(column, _)| *column)
            .collect();
        for column in same {
            let shown = filled[at].cell(column).map(Cell::shown).unwrap_or_default();
            let cell = above.and_then(|above| filled[above].cell(column)).cloned();
            match cell {
                Some(cell) => filled[at].put(column, cell),
                None => filled[at].cells.retain(|(one, _)| *one != column),
            }
            let (rows, _) = found.entry(column).or_insert_with(|| (Vec::new(), shown));
            rows.push(filled[at].number);
        }
        if filled[at].cells.len() > 1 {
            above = Some(at);
        }
    }
    for (index, (rows, shown)) in found {
        let mut columns = headings.columns.iter();
        let heading = columns
            .find(|column| column.index == index)
            .map_or("", |one| &one.heading);
        let sentence = format!(
            "\"{}\" under \"{}\" is read as what the line above says there.",
            shortened(&shown),
            shortened(heading)
        );
        remarks.add_rows(RemarkKind::LookAt, &rows, &sentence);
    }
    (Cow::Owned(filled), remarks)
}
