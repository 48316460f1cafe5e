//! Rulebooks as sheets: brought from elsewhere, and taken away.

use axum::{
    extract::{Multipart, State, multipart::MultipartRejection},
    http::{StatusCode, header},
    response::{IntoResponse, Response},
};

use super::{added, changed, open, shell};
use crate::{
    deed::{self, DeedError, Seen},
    domain::{
        FieldErrors, RulebookId,
        rulebook::{LARGEST_SHEET, RulebookDraft},
    },
    view::rulebook::{RulebookTarget, SheetForm},
    web::{App, Page, Path, Problem, Query, Signed, listed::FormId, upload::Upload},
};

/// The most that a form with a sheet brings: the file, the text beside it, and the form around them.
const LARGEST_FORM: usize = 2 * LARGEST_SHEET + 64 * 1024;

fn form(signed: &Signed, target: &RulebookTarget, sheet: &str, wrong: &FieldErrors) -> SheetForm {
    let title = match target {
        RulebookTarget::New(_) => "Bring a rulebook of your own",
        RulebookTarget::There(..) => "Bring a new version",
    };
    SheetForm::new(shell(signed, title), target, sheet, wrong)
}

/// The form that takes the sheet of a new one.
pub(in crate::web) async fn page_bring(signed: Signed) -> Page<SheetForm> {
    let target = RulebookTarget::New(RulebookId::new());
    Page(form(&signed, &target, "", &FieldErrors::default()))
}

/// The same for a further version, with the sheet as it is now.
pub(in crate::web) async fn page_bring_again(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Page<SheetForm>, Problem> {
    let (own, _) = open(&app, &signed, &key).await?;
    let target = RulebookTarget::There(own.book.key().to_owned(), own.revision);
    let nothing = FieldErrors::default();
    Ok(Page(form(&signed, &target, &own.book.sheet(), &nothing)))
}

/// A sheet that was sent, and the version that it is to follow.
struct Sent {
    draft: RulebookDraft,
    revision: Option<u32>,
}

/// The file if one was chosen, else the text.
async fn sent(upload: Result<Multipart, MultipartRejection>) -> Result<Sent, Problem> {
    let mut upload = Upload::receive(upload, LARGEST_FORM).await?;
    let typed = upload.text("sheet");
    let sheet = match upload.file("file").filter(|(_, bytes)| !bytes.is_empty()) {
        Some((_, bytes)) => String::from_utf8_lossy(&bytes).into_owned(),
        None => typed,
    };
    let sheet = sheet.trim_start_matches('\u{feff}').replace("\r\n", "\n");
    let revision = upload.text("revision").trim().parse().ok();
    Ok(Sent {
        draft: RulebookDraft {
            sheet,
            ..RulebookDraft::default()
        },
        revision,
    })
}

/// A form without a sheet asks for one.
fn empty(draft: &RulebookDraft) -> Option<FieldErrors> {
    let sentence = "Choose a file, or write the sheet here.";
    draft
        .sheet
        .trim()
        .is_empty()
        .then(|| FieldErrors::one("file", "required", sentence))
}

/// Adds the rulebook of a sheet.
pub(in crate::web) async fn page_send(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<FormId>,
    upload: Result<Multipart, MultipartRejection>,
) -> Result<Response, Problem> {
    let Sent { draft, .. } = sent(upload).await?;
    let id = RulebookId(asked.id());
    let again = |wrong: &FieldErrors| {
        // Nothing of this is recorded, so what is sent next is a rulebook of its own.
        let target = RulebookTarget::New(RulebookId::new());
        Page::wrong(form(&signed, &target, &draft.sheet, wrong))
    };
    if let Some(wrong) = empty(&draft) {
        return Ok(again(&wrong));
    }
    match deed::rulebook::add(&app.desk, &signed.actor, id, &draft).await {
        Ok(own) => Ok(added(&own).into_response()),
        Err(DeedError::Invalid(wrong)) => Ok(again(&wrong)),
        Err(other) => Err(other.into()),
    }
}

/// Keeps a further version from a sheet.
pub(in crate::web) async fn page_send_again(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    upload: Result<Multipart, MultipartRejection>,
) -> Result<Response, Problem> {
    let Sent { draft, revision } = sent(upload).await?;
    let (own, _) = open(&app, &signed, &key).await?;
    let revision = revision.ok_or_else(|| {
        Problem::Unreadable("The form does not say which version it was opened with.".to_owned())
    })?;
    let again = |revision, wrong: &FieldErrors| {
        let target = RulebookTarget::There(own.book.key().to_owned(), revision);
        form(&signed, &target, &draft.sheet, wrong)
    };
    if let Some(wrong) = empty(&draft) {
        return Ok(Page::wrong(again(revision, &wrong)));
    }
    match deed::rulebook::revise(
        &app.desk,
        &signed.actor,
        own.id,
        Seen::Version(revision),
        &draft,
    )
    .await
    {
        Ok(own) => Ok(changed(&own).into_response()),
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(again(revision, &wrong))),
        Err(DeedError::Stale(_)) => {
            let again = again(own.revision, &FieldErrors::default());
            Ok(Page::again(StatusCode::CONFLICT, again.after_another()))
        }
        Err(other) => Err(other.into()),
    }
}

/// The sheet of a rulebook, to be taken away.
pub(in crate::web) async fn file_sheet(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Response, Problem> {
    let found = deed::rulebook::show(&app.desk, &signed.actor, &key).await?;
    let name = found.edition().to_string().replace('@', "-");
    let headers = [
        (
            header::CONTENT_TYPE,
            "application/toml; charset=utf-8".to_owned(),
        ),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}.toml\""),
        ),
    ];
    Ok((headers, found.book().sheet()).into_response())
}
