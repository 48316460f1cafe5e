//! A column that holds serials and lots both, "Serial / batch": which of its cells are lots.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::Answers;
use super::field::Field;
use super::heading::{Column, Headings};
use super::synonym::{each, plain_words};
use super::table::{Cell, TableRow};
use crate::domain::fold;

/// Words for a lot.
const LOT: &str = "batch, lot, charge, los, lote, batches, lots";
/// The same as they stand before its number.
const BEFORE: &str = "batch, lot, charge, los";

/// Whether a heading says that a column of serials holds lots too.
pub(super) fn is_either(column: &Column) -> bool {
    let words = plain_words(&column.heading);
    words
        .split(' ')
        .any(|word| each(LOT).any(|lot| lot == word))
}

/// The rows whose serial is a lot: the cell says so, or items of one model share it.
pub(super) fn lots(headings: &Headings, rows: &[TableRow], answers: &Answers) -> BTreeSet<u32> {
    let Some(column) = headings
        .of(Field::Serial)
        .filter(|column| is_either(column))
    else {
        return BTreeSet::new();
    };
    let text = |row: &TableRow, field: Field| {
        let column = headings.of(field);
        let cell = column.and_then(|column| row.cell(column.index));
        cell.map(Cell::shown).unwrap_or_default()
    };
    let mut lots = BTreeSet::new();
    let mut shared: BTreeMap<(String, String), Vec<u32>> = BTreeMap::new();
    for row in rows
        .iter()
        .filter(|row| !answers.left_out.contains(&row.number))
    {
        let Some(serial) = row.cell(column.index).map(Cell::shown) else {
            continue;
        };
        if without_word(&serial) != serial {
            lots.insert(row.number);
        }
        let key = (fold(&text(row, Field::Model)), fold(&serial));
        shared.entry(key).or_default().push(row.number);
    }
    lots.extend(shared.into_values().filter(|rows| rows.len() > 1).flatten());
    lots
}

/// A lot without the word for it: "batch 04/19" is 04/19.
pub(super) fn without_word(text: &str) -> &str {
    let lower = text.to_lowercase();
    let word = each(BEFORE).find(|word| {
        lower.strip_prefix(word).is_some_and(|rest| {
            rest.starts_with([' ', ':', '.']) && rest.contains(|c: char| c.is_ascii_digit())
        })
    });
    let rest = word.and_then(|word| text.get(word.len()..));
    rest.map_or(text, |rest| rest.trim_start_matches([' ', ':', '.']))
}

#[cfg(test)]
mod tests {
    use super::without_word;

    #[test]
    fn the_word_before_a_lot_is_no_part_of_it() {
        for (text, lot) in [
            ("batch 04/19", "04/19"),
            ("Lot: 12-B7", "12-B7"),
            ("batchless", "batchless"),
            ("2105-1261", "2105-1261"),
            ("lot", "lot"),
        ] {
            assert_eq!(without_word(text), lot);
        }
    }
}
