//! Labels.

use axum::{extract::State, response::Response};
use serde::Deserialize;

use super::{App, Page, Problem, Query, Signed, paper::paper_of, paper::pdf, typed::Typed};
use crate::{
    deed::{self, DeedError},
    domain::{FieldErrors, LabelDraft},
    view::{Section, label::LabelForm},
};

/// For which items.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedMarks {
    marks: String,
}

/// The form.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedMarks>,
) -> Page<LabelForm> {
    let known = app.config.public_url.is_some();
    let mut draft = LabelDraft {
        marks: asked.marks,
        paper: paper_of(&signed, "").key().to_owned(),
        ..LabelDraft::default()
    };
    if !known {
        "code".clone_into(&mut draft.holds);
    }
    Page(form(&signed, &draft, known, &FieldErrors::default()))
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
