//! Labels.

use axum::{extract::State, response::Response};
use serde::Deserialize;

use super::{App, Page, Problem, Query, Signed, paper::paper_of, paper::pdf, typed::Typed};
use crate::{
    deed::{self, DeedError},
    domain::{FieldErrors, ItemId, LabelDraft},
    view::{Section, label::LabelForm},
};

/// For which items: their marks, or one item.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedMarks {
    marks: String,
    item: Option<ItemId>,
}

/// The form.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedMarks>,
) -> Result<Page<LabelForm>, Problem> {
    let marks = match asked.item {
        Some(id) => {
            let mut tx = app.desk.database.read(signed.actor.team).await?;
            let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
            item.mark
        }
        None => asked.marks,
    };
    let known = app.config.public_url.is_some();
    let mut draft = LabelDraft {
        marks,
        paper: paper_of(&signed, "").key().to_owned(),
        ..LabelDraft::default()
    };
    if !known {
        "code".clone_into(&mut draft.holds);
    }
    let fine = FieldErrors::default();
    Ok(Page(form(&signed, &draft, known, &fine)))
}

fn form(signed: &Signed, draft: &LabelDraft, known: bool, wrong: &FieldErrors) -> LabelForm {
    let shell = signed.shell_in(Section::Papers, "Labels");
    LabelForm::new(shell, draft, known, wrong)
}

/// The labels as a file.
pub(super) async fn page_print(
    State(app): State<App>,
    signed: Signed,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: LabelDraft = typed.draft()?;
    let address = app.config.public_url.as_deref();
    match deed::label::print(&app.desk, &signed.actor, &draft, address).await {
        Ok(bytes) => Ok(pdf("labels", bytes)),
        Err(DeedError::Invalid(wrong)) => {
            let known = address.is_some();
            Ok(Page::wrong(form(&signed, &draft, known, &wrong)))
        }
        Err(other) => Err(other.into()),
    }
}
