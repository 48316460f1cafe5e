//! Bringing in a list that was kept elsewhere: choosing the file, seeing what would come of it,
//! answering what is asked, saying yes.

mod foretold;
mod said;
mod sheet;
mod typed;

use std::sync::Arc;

use axum::{
    extract::{Multipart, State, multipart::MultipartRejection},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use uuid::Uuid;

use super::{App, Done, Form, Page, Path, Problem, Signed, upload};
use crate::{
    deed::{
        DeedError,
        import::{self, ImportFile},
    },
    domain::FieldErrors,
    import::{Answers, LARGEST_FILE},
    view::{
        Section,
        import::{BringFile, RehearsalSheet},
    },
};
use foretold::Looker;
use typed::Typed;

/// The page to choose a file.
pub(super) async fn page_new(signed: Signed) -> Page<BringFile> {
    Page(bring(&signed, &FieldErrors::default()))
}

fn bring(signed: &Signed, wrong: &FieldErrors) -> BringFile {
    BringFile::new(signed.shell_in(Section::Items, "Bring in a list"), wrong)
}

/// Takes a file and keeps it until somebody says yes to it.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    upload: Result<Multipart, MultipartRejection>,
) -> Result<Response, Problem> {
    let Some((name, bytes)) = upload::receive(upload, LARGEST_FILE).await? else {
        let wrong = FieldErrors::one("file", "required", "Choose a file.");
        return Ok(Page::wrong(bring(&signed, &wrong)));
    };
    let file = ImportFile {
        name,
        bytes: Arc::new(bytes),
        answers: Answers::default(),
    };
    match import::keep(&app.desk, &signed.actor, &file).await {
        Ok(id) => Ok(Done::to(format!("/import/{id}")).into_response()),
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(bring(&signed, &wrong))),
        Err(other) => Err(other.into()),
    }
}

/// What would come of the file that waits.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
) -> Result<Response, Problem> {
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    shown(
        &app,
        &signed,
        (id, &file),
        &FieldErrors::default(),
        &Typed::default(),
    )
    .await
}

async fn shown(
    app: &App,
    signed: &Signed,
    (id, file): (Uuid, &ImportFile),
    wrong: &FieldErrors,
    typed: &Typed,
) -> Result<Response, Problem> {
    let rehearsal = match import::look(&app.desk, &signed.actor, file).await {
        Ok(rehearsal) => rehearsal,
        Err(DeedError::Invalid(wrong)) => return Ok(Page::wrong(bring(signed, &wrong))),
        Err(other) => return Err(other.into()),
    };
    let shell = signed.shell_in(Section::Items, &file.name);
    let looker = Looker {
        name: &signed.person.name,
        today: signed.today(app),
    };
    let sheet: RehearsalSheet = sheet::sheet(shell, id, (file, &rehearsal), (wrong, typed), looker);
    Ok(if wrong.is_empty() {
        Page(sheet).into_response()
    } else {
        Page::wrong(sheet)
    })
}

/// Keeps what was answered, and shows what would come of it now.
pub(super) async fn page_answer(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
    Form(typed): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    let typed = Typed::new(typed);
    let mut wrong = FieldErrors::default();
    let answers = typed.answers(&file.answers, &mut wrong);
    if wrong.is_empty() {
        match import::answer(&app.desk, &signed.actor, id, answers).await {
            Ok(_) => return Ok(Done::to(format!("/import/{id}")).into_response()),
            Err(DeedError::Invalid(found)) => wrong = found,
            Err(other) => return Err(other.into()),
        }
    }
    shown(&app, &signed, (id, &file), &wrong, &typed).await
}

/// Takes the file in.
pub(super) async fn page_take(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
) -> Result<Response, Problem> {
    match import::take_waiting(&app.desk, &signed.actor, id).await {
        Ok(taken) => Ok(Done::to("/items")
            .saying(format!(
                "Taken in: {} items, {} new models, {} new stores.",
                taken.items, taken.models, taken.stores
            ))
            .into_response()),
        // The register has changed since; the page says what is in the way now.
        Err(DeedError::Invalid(_)) => {
            let file = import::waiting(&app.desk, &signed.actor, id).await?;
            let wrong = FieldErrors::default();
            let shown = shown(&app, &signed, (id, &file), &wrong, &Typed::default()).await?;
            Ok((StatusCode::CONFLICT, shown).into_response())
        }
        Err(other) => Err(other.into()),
    }
}

/// Gives the file up.
pub(super) async fn page_drop(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
) -> Result<Response, Problem> {
    import::give_up(&app.desk, &signed.actor, id).await?;
    Ok(Done::to("/import")
        .saying("The list was given up; nothing of it was stored.")
        .into_response())
}
