//! What an auditor asks of the record: a page of one table.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Page, Path, Problem, Query, Signed,
    export::offered,
    listed::{ROWS, cursor, of_list, pager},
};
use crate::{
    deed::{DeedError, question},
    domain::{
        FieldErrors, Notice,
        question::{Question, QuestionDraft},
    },
    store::Cursor,
    view::{
        Section,
        part::Pager,
        question::{Asking, QuestionList, QuestionSheet, Shown},
    },
};

/// How many notices may be chosen, the last issued first; another is asked about by its id.
const NOTICES: u32 = 200;

/// What stands behind the question mark.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedQuestion {
    #[serde(flatten)]
    pub draft: QuestionDraft,
    pub after: String,
}

/// The question at an address.
pub(super) fn named(key: &str) -> Result<Question, Problem> {
    Question::from_key(key).ok_or(Problem::NotFound("question"))
}

/// What the deed says, a cursor's fault told from ours.
pub(super) fn of_deed(error: DeedError) -> Problem {
    match error {
        DeedError::Store(error) => of_list(error),
        other => other.into(),
    }
}

/// The questions.
pub(super) async fn page_list(signed: Signed) -> Page<QuestionList> {
    Page(QuestionList::new(
        signed.shell_in(Section::History, "Questions"),
    ))
}

/// A question with its answer.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    Query(asked): Query<AskedQuestion>,
) -> Result<Response, Problem> {
    let question = named(&key)?;
    let notices = notices(&app, &signed, question).await?;
    let shell = signed.shell_in(Section::History, question.title());
    let draft = &asked.draft;
    let asking = Asking {
        question,
        draft,
        notices: &notices,
    };
    if !draft.is_begun(question) {
        let page = QuestionSheet::new(shell, &asking, None, &FieldErrors::default());
        return Ok(Page(page).into_response());
    }
    let after = cursor(&asked.after)?;
    let found = question::answer(
        &app.desk,
        &signed.actor,
        (question, draft),
        after.as_ref(),
        ROWS,
    );
    match Box::pin(found).await {
        Ok(found) => {
            let shown = Shown {
                asked: &found.asked,
                tally: &found.tally,
                basis: &found.basis,
                rows: &found.rows,
                file: offered(
                    "answer",
                    &[&[("question", key.as_str())], &draft.pairs(question)[..]].concat(),
                ),
                pager: around(
                    &key,
                    &draft.pairs(question),
                    &asked.after,
                    found.next.as_ref(),
                ),
            };
            let page = QuestionSheet::new(shell, &asking, Some(shown), &FieldErrors::default());
            Ok(Page(page).into_response())
        }
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(QuestionSheet::new(
            shell, &asking, None, &wrong,
        ))),
        Err(other) => Err(of_deed(other)),
    }
}

fn around(key: &str, pairs: &[(&str, &str)], after: &str, next: Option<&Cursor>) -> Pager {
    pager(
        &format!("/questions/{key}"),
        pairs,
        after,
        next,
        String::new(),
    )
}

/// The notices that may be chosen, where one may be.
async fn notices(app: &App, signed: &Signed, question: Question) -> Result<Vec<Notice>, Problem> {
    if question != Question::Recalled {
        return Ok(Vec::new());
    }
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    Ok(tx.notices(None, NOTICES).await?.rows)
}
