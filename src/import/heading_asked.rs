//! What is asked of headings, and what is wrong with them together.

use super::fate::RowError;
use super::heading::{ColumnUse, Headings, shortened};
use super::question::{Question, counted};

/// The headings of which nobody knows what they are.
pub(super) fn unknown(headings: &Headings) -> Vec<Question> {
    let columns = headings.columns.iter();
    columns
        .filter_map(|column| match &column.becomes {
            ColumnUse::Unknown(suggestions) => Some(Question::Heading {
                heading: column.heading.clone(),
                column: column.letters(),
                filled: column.filled,
                example: column.example.clone(),
                suggestions: suggestions.clone(),
                guess: column.guess.clone(),
                beside: suggestions
                    .first()
                    .and_then(|field| headings.of(*field))
                    .map(|other| other.heading.clone()),
            }),
            _ => None,
        })
        .collect()
}

impl Question {
    /// What is asked of a heading.
    pub(super) fn heading_sentence(&self) -> String {
        let Self::Heading {
            heading,
            column,
            filled,
            example,
            suggestions,
            beside,
            guess,
        } = self
        else {
            return String::new();
        };
        let guess = guess
            .as_ref()
            .map_or_else(String::new, |guess| format!(" {}", guess.sentence()));
        let first = suggestions.first().map(|field| field.label());
        let already = beside
            .as_ref()
            .zip(first)
            .map_or(String::new(), |(beside, field)| {
                format!(" \"{}\" is read as \"{field}\" already.", shortened(beside))
            });
        format!(
            "What is the column \"{}\" ({column}, {}, such as \"{example}\")?{already}{guess} Say which field it is, keep it in the note, or leave it out.",
            shortened(heading),
            counted(*filled, "cell")
        )
    }
}

/// Where several columns are read as one field.
pub(super) fn doubled(headings: &Headings) -> Vec<RowError> {
    let mut errors = Vec::new();
    for (field, columns) in headings.doubled() {
        let names: Vec<String> = columns
            .iter()
            .map(|column| format!("\"{}\"", shortened(&column.heading)))
            .collect();
        errors.push(RowError::at(
            headings.row,
            columns[columns.len() - 1],
            "choice",
            format!(
                "{} are all read as \"{}\". Say for all but one of them what else it is, or leave it out.",
                names.join(" and "),
                field.label()
            ),
        ));
    }
    errors
}
