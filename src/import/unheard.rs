//! What was said of a list and is of nothing in it: a word that none of its cells has, a row that is not there. Whoever says
//! such a thing meant something else, and has to know.

use time::Date;

use super::answer::Answers;
use super::failure::ImportFailure;
use super::field::Field;
use super::heading::{self, shortened};
use super::known::Known;
use super::question::lower_first;
use super::rehearsal::rehearse;
use super::table::{Table, TableRow};
use crate::domain::entered::split_number;
use crate::domain::fold;

/// What was said of nothing in the list, each in a sentence.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Unheard {
    /// The words that were explained.
    pub words: Vec<String>,
    /// The rows that were to be left out.
    pub rows: Vec<String>,
}

/// Looks for what was said of nothing in the list.
///
/// # Errors
/// What is wrong with the headings as a whole.
pub fn unheard(
    table: &Table,
    answers: &Answers,
    known: &Known,
    today: Date,
) -> Result<Unheard, ImportFailure> {
    let (headings, rows) = heading::find(table, answers)?;
    let mut unheard = Unheard::default();
    let is_row = |number: &u32| rows.iter().any(|row| row.number == *number);
    let not_there = answers.left_out.iter().filter(|row| !is_row(row));
    let (first, last) = (rows.first(), rows.last());
    unheard.rows.extend(not_there.map(|row| {
        let number = |row: Option<&TableRow>| row.map_or(0, |row| row.number);
        format!(
            "there is no row {row} to leave out: those below the headings are {} to {}.",
            number(first),
            number(last)
        )
    }));
    let is_heading = |word: &str| headings.columns.iter().any(|one| says(&one.heading, word));
    let mut told = None;
    for (key, words) in &answers.words {
        for word in words.keys() {
            let mut cells = rows.iter().flat_map(|row| &row.cells);
            if is_heading(word) || cells.any(|(_, cell)| says(&cell.shown(), word)) {
                continue;
            }
            // It may be what a number is with its unit, a model, or what was answered before: then something hangs on it.
            let with = match &told {
                Some(with) => with,
                None => told.insert(rehearse(table, answers, known, today)?),
            };
            let mut others = answers.clone();
            others.words.entry(key.clone()).or_default().remove(word);
            if rehearse(table, &others, known, today)? == *with {
                let of = Field::from_key(key).map_or_else(|| key.clone(), Field::label);
                unheard.words.push(format!(
                    "no cell of this list says \"{}\" as {}; write the word as the list has it.",
                    shortened(word),
                    lower_first(&of)
                ));
            }
        }
    }
    Ok(unheard)
}

/// Whether a text has a word in it, or is its number without the unit.
fn says(text: &str, word: &str) -> bool {
    let is_number = split_number(word).is_some_and(|(number, _)| fold(text) == number.to_string());
    is_number || fold(text).contains(&fold(word))
}
