//! Another file in the place of the one that waits; what stands in the fields of the page comes with it.

use axum::{
    extract::{Multipart, State, multipart::MultipartRejection},
    response::{IntoResponse, Response},
};
use uuid::Uuid;

use super::{Sent, competent, keep, rows::Part, shown, typed::Typed};
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
        if !sent.wrong.is_empty() && chosen.is_some() {
            // What is wrong of the answers holds neither the file back nor the rest of them.
            let answers = sent
                .typed
                .answers(&file.answers, &mut FieldErrors::default());
            import::answer(&app.desk, &signed.actor, id, answers).await?;
        }
    }
    let Some((name, bytes)) = chosen else {
        if sent.wrong.is_empty() {
            // What was typed is kept by now.
            sent.typed = Typed::default();
            sent.wrong = FieldErrors::one("file", "required", "Choose a file.");
        }
        return again((&app, &signed), id, &sent).await;
    };
    let file = ImportFile::new(name, bytes);
    match import::replace(&app.desk, &signed.actor, id, file).await {
        Ok(()) if sent.wrong.is_empty() => Ok(replaced(id, told)),
        Ok(()) => {
            let file = import::waiting(&app.desk, &signed.actor, id).await?;
            if let Ok(rehearsal) = import::look(&app.desk, &signed.actor, &file).await {
                (sent.typed, sent.wrong) = competent::moved(&sent.typed, &sent.wrong, &rehearsal);
            }
            if sent.wrong.is_empty() {
                return Ok(replaced(id, told));
            }
            sent.is_kept = true;
            again((&app, &signed), id, &sent).await
        }
        Err(DeedError::Invalid(wrong)) => {
            if sent.wrong.is_empty() {
                sent.typed = Typed::default();
            }
            sent.wrong.0.extend(wrong.0);
            again((&app, &signed), id, &sent).await
        }
        Err(other) => Err(other.into()),
    }
}

/// The page of the file that waits now, with what is wrong.
async fn again((app, signed): (&App, &Signed), id: Uuid, sent: &Sent) -> Result<Response, Problem> {
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    shown(app, signed, (id, &file), sent, &Part::default()).await
}

/// Leads to what would come of the other file, with what was recorded beside.
fn replaced(id: Uuid, told: Option<String>) -> Response {
    let told = told.map_or_else(String::new, |told| format!(" {told}"));
    let words = format!("This is the other file, with the answers that you gave before.{told}");
    Done::to(format!("/import/{id}"))
        .saying(words)
        .into_response()
}
