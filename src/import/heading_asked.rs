//! What is asked of headings, and what is wrong with them together.

use super::fate::RowError;
use super::heading::{ColumnUse, Headings, shortened};
use super::question::Question;

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
                beside: suggestions
                    .first()
                    .and_then(|field| headings.of(*field))
                    .map(|other| other.heading.clone()),
            }),
            _ => None,
        })
        .collect()
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
