//! Columns that somebody sends to the note though they hold figures that look like strengths: asked once a column.

use super::answer::{Answers, IN_NOTE};
use super::field::Field;
use super::heading::{ColumnUse, Headings, shortened};
use super::question::Question;
use super::strength_said;
use super::table::{Cell, TableRow};

/// The answer that reads such a column.
const READ: &str = "read";

/// Whether it was said of a column that was sent to the note that its figures are read.
pub(super) fn is_read(answers: &Answers, heading: &str) -> bool {
    answers.word(Field::Figures, heading) == Some(READ)
}

/// Asks of each column in the note that holds figures with the words for strengths.
pub(super) fn ask(headings: &Headings, rows: &[TableRow], answers: &Answers) -> Vec<Question> {
    let columns = headings.columns.iter();
    let in_note = columns.filter(|column| {
        column.becomes == ColumnUse::InNote
            && answers.word(Field::Figures, &column.heading).is_none()
    });
    let asked = in_note.filter_map(|column| {
        let holding = rows.iter().filter_map(|row| match row.cell(column.index) {
            Some(Cell::Text(text)) => {
                let figures = strength_said::figures(text);
                (figures > 0).then_some((row.number, figures))
            }
            _ => None,
        });
        let holding: Vec<(u32, usize)> = holding.collect();
        let (first_row, _) = *holding.first()?;
        let figures = holding.iter().map(|(_, figures)| figures).sum();
        (holding.len() * 2 >= column.filled).then(|| Question::Word {
            field: Field::Figures,
            word: column.heading.clone(),
            rows: figures,
            first_row,
            doubts: None,
            refused: None,
        })
    });
    asked.collect()
}

/// What is asked.
pub(super) fn sentence(heading: &str, figures: &str, first_row: u32) -> String {
    format!(
        "The column \"{}\" is kept in the note, and holds {figures} that look like strengths or loads, first in row {first_row}. Read them? Jobs reckon with none of what stands in a note.",
        shortened(heading)
    )
}

/// What can be said.
pub(super) fn choices() -> Vec<(String, String)> {
    [
        (READ, "Read them: each as what the words beside it say, and what cannot be read stays in the note"),
        (IN_NOTE, "Leave them in the note"),
    ]
    .map(|(key, words)| (key.to_owned(), words.to_owned()))
    .into()
}
