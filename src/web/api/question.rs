//! What an auditor asks of the record, for programs.

use axum::{Json, extract::State};
use serde::Serialize;
use serde_json::{Map, Value};
use time::format_description::well_known::Rfc3339;
use utoipa::ToSchema;

use super::ProblemJson;
use crate::{
    deed::question,
    domain::{
        date::write_day,
        question::{Cell, Column, Question, QuestionDraft, Row},
    },
    web::{
        App, Path, Problem, Query, Signed,
        listed::{ROWS, cursor},
        question::{AskedQuestion, named, of_deed},
    },
};

/// A question.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct QuestionJson {
    /// The word for programs.
    key: &'static str,
    /// A few words.
    title: &'static str,
    /// The question in a sentence.
    asks: &'static str,
}

impl From<Question> for QuestionJson {
    fn from(question: Question) -> Self {
        Self {
            key: question.key(),
            title: question.title(),
            asks: question.asks(),
        }
    }
}

/// An answer.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct AnswerJson {
    /// The question.
    question: &'static str,
    /// The answer in a sentence.
    answer: String,
    /// How many were found.
    found: u64,
    /// Among how many.
    of: u64,
    /// How many of each sort.
    sorts: Map<String, Value>,
    /// By what it was answered, in sentences.
    basis: Vec<String>,
    /// A row an answer. A record has its name, and its id under the same name with `_id` behind; what is not known is `null`.
    rows: Vec<Map<String, Value>>,
    /// `after` of the next page; `null` on the last.
    next: Option<String>,
}

/// A row as an object.
pub(super) fn row(columns: &[Column], row: &Row) -> Map<String, Value> {
    let cells = columns.iter().zip(&row.cells);
    cells
        .flat_map(|(column, cell)| members(*column, cell))
        .collect()
}

/// A cell as members of an object.
fn members(column: Column, cell: &Cell) -> Vec<(String, Value)> {
    let value = match cell {
        Cell::Nothing => Value::Null,
        Cell::Text(text) => text.as_str().into(),
        Cell::Day(day) => write_day(*day).into(),
        Cell::Moment(at) => at.format(&Rfc3339).unwrap_or_default().into(),
        Cell::Number(number) => (*number).into(),
        Cell::Record(_, name) => name.as_str().into(),
    };
    let id = match cell {
        Cell::Record(to, _) => to.id().to_string().into(),
        _ => Value::Null,
    };
    let id = column.id.map(|name| (name.to_owned(), id));
    std::iter::once((column.key.to_owned(), value))
        .chain(id)
        .collect()
}

/// The questions
#[utoipa::path(get, path = "/api/v1/questions", tag = "history", responses((status = 200, body = Vec<QuestionJson>)))]
pub(in crate::web) async fn api_questions(_signed: Signed) -> Json<Vec<QuestionJson>> {
    Json(Question::ALL.map(QuestionJson::from).into())
}

/// The answer to a question
///
/// `not-in-date` (`on`), `beyond-qualification` and `refused-attempts` (`from`, `until`), `use-of-an-item` (`item`, `from`,
/// `until`), `recalled-lot` (`notice`, or `maker`, `model` and `lot`), `gaps` (`gap`) and `recorded-late` (`days`, `from`,
/// `until`). All is counted; rows come a page at a time.
#[utoipa::path(get, path = "/api/v1/questions/{key}", tag = "history",
    params(("key" = String, Path), QuestionDraft, ("after" = Option<String>, Query)), responses(
    (status = 200, body = AnswerJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_ask(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    Query(asked): Query<AskedQuestion>,
) -> Result<Json<AnswerJson>, Problem> {
    let question = named(&key)?;
    let after = cursor(&asked.after)?;
    let found = question::answer(
        &app.desk,
        &signed.actor,
        (question, &asked.draft),
        after.as_ref(),
        ROWS,
    );
    let found = Box::pin(found).await.map_err(of_deed)?;
    let sorts = found.tally.parts.iter();
    let sorts = sorts.map(|(word, count)| ((*word).to_owned(), (*count).into()));
    Ok(Json(AnswerJson {
        question: question.key(),
        answer: found.asked.answer(&found.tally),
        found: found.tally.found,
        of: found.tally.of,
        sorts: sorts.collect(),
        basis: found.basis,
        rows: found
            .rows
            .iter()
            .map(|one| row(question.columns(), one))
            .collect(),
        next: found.next.map(|next| next.to_string()),
    }))
}
