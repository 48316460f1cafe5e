//! Another file in the place of the one that waits; what stands in the fields of the page comes with it.

use axum::{
    extract::{Multipart, State, multipart::MultipartRejection},
    response::{IntoResponse, Response},
};
use uuid::Uuid;

use super::{Sent, keep, rows::Part, shown, typed::Typed};
use crate::{
    deed::{
        DeedError,
        import::{self, ImportFile},
    },
    domain::FieldErrors,
    import::LARGEST_FILE,
    web::{App, Done, Path, Problem, Signed, upload::Upload},
};

/// Puts another file in the place of the one that waits, and keeps what was typed on the page.
pub(in crate::web) async fn page_replace(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
    upload: Result<Multipart, MultipartRejection>,
) -> Result<Response, Problem> {
    let mut upload = Upload::receive(upload, LARGEST_FILE).await?;
    let chosen = upload.file("file");
    let mut sent = Sent::default();
    let mut told = None;
    if let Some(typed) = Typed::along(upload.texts()) {
        sent.typed = typed;
        let file = import::waiting(&app.desk, &signed.actor, id).await?;
        told = keep(&app, &signed, (id, &file), &mut sent).await?;
    }
    if sent.wrong.is_empty() {
        // What was typed is kept by now.
        sent.typed = Typed::default();
        match chosen {
            None => sent.wrong = FieldErrors::one("file", "required", "Choose a file."),
            Some((name, bytes)) => {
                let file = ImportFile::new(name, bytes);
                match import::replace(&app.desk, &signed.actor, id, file).await {
                    Ok(()) => return Ok(replaced(id, told)),
                    Err(DeedError::Invalid(wrong)) => sent.wrong = wrong,
                    Err(other) => return Err(other.into()),
                }
            }
        }
    }
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    shown(&app, &signed, (id, &file), &sent, &Part::default()).await
}

/// Leads to what would come of the other file, with what was recorded beside.
fn replaced(id: Uuid, told: Option<String>) -> Response {
    let told = told.map_or_else(String::new, |told| format!(" {told}"));
    let words = format!("This is the other file, with the answers that you gave before.{told}");
    Done::to(format!("/import/{id}"))
        .saying(words)
        .into_response()
}
