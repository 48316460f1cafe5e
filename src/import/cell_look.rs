//! What a cell looks like before anybody knows what its column is.

use super::synonym::{each, plain_words};
use super::table::Cell;
use super::{day, number};

/// Whether a cell holds a day.
pub(super) fn is_day(cell: &Cell) -> bool {
    match cell {
        Cell::Day(_) | Cell::Month(_) => true,
        Cell::Text(text) => day::read(text).is_some(),
        _ => false,
    }
}

/// A day, or a year alone.
pub(super) fn may_be_day(cell: &Cell) -> bool {
    let is_year = |number: &f64| (1950.0..=2150.0).contains(number);
    is_day(cell)
        || matches!(cell, Cell::Number(number) if is_year(number))
        || matches!(cell, Cell::Text(text) if day::read_made(text).is_some())
}

/// Whether a number stands in a cell that is no day.
pub(super) fn has_number(cell: &Cell) -> bool {
    match cell {
        Cell::Number(_) | Cell::Percent(_) | Cell::Formula => true,
        Cell::Text(text) => text.contains(|c: char| c.is_ascii_digit()) && !is_day(cell),
        _ => false,
    }
}

/// A number, with words behind it at most.
pub(super) fn is_size(cell: &Cell) -> bool {
    match cell {
        Cell::Number(_) => true,
        Cell::Text(text) => number::split(text).is_some() && !is_day(cell),
        _ => false,
    }
}

/// Whether a cell says yes or no, or whether something can be read.
pub(super) fn is_yes_or_no(cell: &Cell) -> bool {
    let words = plain_words(&cell.shown());
    let known = "yes, no, y, n, x, 1, 0, true, false, ok, okay, ja, nein, j, oui, non, readable, legible, illegible, ppe, \
         not ppe, good, fine, bad, not ok";
    words.is_empty() || each(known).any(|one| one == words)
}

/// Whether a text looks like a person's name: two words or more that begin with capitals, without numbers.
pub(super) fn is_name(text: &str) -> bool {
    let words: Vec<&str> = text.split_whitespace().collect();
    let begins = |word: &&str| word.trim_start_matches('(').starts_with(char::is_uppercase);
    words.len() >= 2
        && words.iter().take(2).all(begins)
        && !text.contains(|c: char| c.is_ascii_digit())
}
