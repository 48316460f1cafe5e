//! Columns that are kept in notes: told once a column, since jobs reckon with nothing that stands in words.

use std::collections::BTreeMap;

use super::cell::Place;
use super::heading::{Column, shortened};
use super::number;
use super::remark::Remarks;
use super::row::{ReadRow, Reading};
use super::size;
use super::table::Cell;
use super::unit::Unit;
use super::word;
use crate::domain::Kind;

/// The columns of which something is kept in notes, by their index.
#[derive(Debug, Default)]
pub(super) struct NotesKept(BTreeMap<usize, Kept>);

#[derive(Debug)]
struct Kept {
    heading: String,
    cells: usize,
    first_row: u32,
    example: String,
    /// Whether something was read from its words all the same.
    read: bool,
    /// The first cell that names a force or a mass, with its row.
    load: Option<(u32, String)>,
}

impl NotesKept {
    /// A cell that goes into an item's note.
    pub(super) fn keep(&mut self, column: &Column, text: &str, row: u32) {
        let kept = self.0.entry(column.index).or_insert_with(|| Kept {
            heading: shortened(&column.heading),
            cells: 0,
            first_row: row,
            example: shortened(text),
            read: false,
            load: None,
        });
        kept.cells += 1;
        if kept.load.is_none() && names_load(text) {
            kept.load = Some((row, shortened(text)));
        }
    }

    /// Something was read from the words under a heading.
    pub(super) fn read_from(&mut self, heading: &str) {
        let heading = shortened(heading);
        for kept in self.0.values_mut().filter(|kept| kept.heading == heading) {
            kept.read = true;
        }
    }

    pub(super) fn remark(self, remarks: &mut Remarks) {
        for kept in self.0.into_values() {
            let load = kept.load.map_or_else(String::new, |(row, text)| {
                format!(" Where one names a load, such as \"{text}\" in row {row}, write it into a column of its own if it is to count.")
            });
            let but = if kept.read {
                "with none of it but what is told to be read from it"
            } else {
                "with none of it"
            };
            let sentence = format!(
                "What stands under \"{}\", such as \"{}\", is kept in the note of each item as words: jobs reckon {but}.{load}",
                kept.heading, kept.example
            );
            remarks.add_all(kept.cells, kept.first_row, sentence);
        }
    }
}

impl Reading<'_> {
    /// A cell that says what nobody writes down of this kind of gear.
    pub(super) fn not_of_kind(&mut self, cell: &Cell, place: Place<'_>, read: &mut ReadRow) {
        let column = place.column;
        if place.field == size::FIELD {
            // What it says of other kinds is read from its words, and told there.
            self.notes.keep(column, &cell.shown(), read.number);
        } else {
            let kind = read.kind.map_or_else(|| "a thing".to_owned(), Kind::one);
            let sentence = format!(
                "Nobody writes down \"{}\" of {kind} here; what \"{}\" says of it is kept in the item's note.",
                place.field.label(),
                shortened(&column.heading)
            );
            self.read.remarks.add(read.number, sentence);
        }
        self.keep_in_note(cell, column, read);
    }

    pub(super) fn keep_in_note(&mut self, cell: &Cell, column: &Column, read: &mut ReadRow) {
        match cell {
            Cell::Formula => {
                let message =
                    "A formula is not read. Put its value in its place, or leave the column out.";
                self.wrong(read, column, "formula", message.to_owned());
            }
            Cell::Text(text) if word::says_unknown(text) => {}
            other => read
                .note
                .push(format!("{}: {}", column.heading, other.shown())),
        }
    }
}

/// Whether a text names a number with a unit of force or mass.
fn names_load(text: &str) -> bool {
    number::with_words(text).any(|(_, word)| {
        let unit = Unit::measured(word);
        matches!(unit, Some(Unit::Force(_) | Unit::Mass(_)))
    })
}

#[cfg(test)]
mod tests {
    use super::names_load;

    #[test]
    fn loads_are_seen_in_words() {
        for text in ["slips at 4 kN", "Rutschlast 2,5kN", "WLL 200 kg each"] {
            assert!(names_load(text), "{text}");
        }
        for text in [
            "cam holds rope",
            "blue tape, 2 m",
            "bag 4",
            "see log 12/2023",
        ] {
            assert!(!names_load(text), "{text}");
        }
    }
}
