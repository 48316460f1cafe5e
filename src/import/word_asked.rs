//! What is asked of a word that nobody can read for sure.

use super::doubted_figure;
use super::field::Field;
use super::heading::shortened;
use super::question::{Question, counted, lower_first};
use super::{figures_asked, made_of};

impl Question {
    /// The question about a word, as a sentence.
    pub(super) fn word_sentence(&self) -> String {
        match self {
            Self::Word {
                field: Field::Material,
                word,
                rows,
                ..
            } => made_of::sentence(word, &counted(*rows, "row")),
            Self::Word {
                field: Field::Figures,
                word,
                rows,
                first_row,
                ..
            } => figures_asked::sentence(word, &counted(*rows, "figure"), *first_row),
            Self::Word {
                field,
                word,
                rows,
                first_row,
                doubts,
                ..
            } if doubted_figure::is_figure(*field) => {
                let what = doubted_figure::in_words(*field);
                let stands = format!("{}, first in row {first_row}", counted(*rows, "row"));
                match doubts {
                    Some(doubt) => doubted_figure::sentence(doubt, word, (&what, &stands)),
                    None => format!(
                        "\"{}\" cannot be read as {what}. It stands in {stands}. What of it?",
                        shortened(word)
                    ),
                }
            }
            Self::Word {
                field,
                word,
                rows,
                first_row,
                ..
            } => format!(
                "What does \"{}\" mean as {}? It stands in {}, first in row {first_row}.",
                shortened(word),
                lower_first(&field.label()),
                counted(*rows, "row")
            ),
            _ => String::new(),
        }
    }
}
