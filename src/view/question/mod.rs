//! What an auditor asks of the record: the questions, and the answer to each.

mod list;
mod show;
mod table;

pub use list::QuestionList;
pub use show::{Asking, QuestionSheet, Shown};
pub use table::RowsTable;

use crate::domain::question::Question;

/// The address of a question.
fn href(question: Question) -> String {
    format!("/questions/{}", question.key())
}
