//! Bringing in a list that was kept elsewhere: choosing the file, seeing what would come of it,
//! answering what is asked, saying yes.

mod said;
mod sheet;

use std::{collections::BTreeMap, sync::Arc};

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
    import::{Answers, DateOrder, DecimalMark, LARGEST_FILE, Target, Unit},
    view::{
        Section,
        import::{BringFile, RehearsalSheet},
    },
};

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
    shown(&app, &signed, id, &file, &FieldErrors::default()).await
}

async fn shown(
    app: &App,
    signed: &Signed,
    id: Uuid,
    file: &ImportFile,
    wrong: &FieldErrors,
) -> Result<Response, Problem> {
    let rehearsal = match import::look(&app.desk, &signed.actor, file).await {
        Ok(rehearsal) => rehearsal,
        Err(DeedError::Invalid(wrong)) => return Ok(Page::wrong(bring(signed, &wrong))),
        Err(other) => return Err(other.into()),
    };
    let shell = signed.shell_in(Section::Items, &file.name);
    let sheet: RehearsalSheet = sheet::sheet(shell, id, file, &rehearsal, wrong);
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
    let typed: BTreeMap<String, String> = typed.into_iter().collect();
    let mut wrong = FieldErrors::default();
    let answers = answers(&typed, &file.answers, &mut wrong);
    if !wrong.is_empty() {
        return shown(&app, &signed, id, &file, &wrong).await;
    }
    import::answer(&app.desk, &signed.actor, id, answers).await?;
    Ok(Done::to(format!("/import/{id}")).into_response())
}

/// The answers of the form; a choice that was not made is none.
fn answers(typed: &BTreeMap<String, String>, before: &Answers, wrong: &mut FieldErrors) -> Answers {
    let text = |name: &str| typed.get(name).map_or("", |text| text.trim());
    let mut refuse = |name: &str| wrong.add(name, "choice", "Choose one of the list.");
    let mut answers = Answers {
        sheet: Some(text("sheet").to_owned()).filter(|sheet| !sheet.is_empty()),
        dates: DateOrder::from_key(text("dates")),
        decimal: DecimalMark::from_key(text("decimal")),
        ..Answers::default()
    };
    if answers.dates.is_none() && !text("dates").is_empty() {
        refuse("dates");
    }
    if answers.decimal.is_none() && !text("decimal").is_empty() {
        refuse("decimal");
    }
    // Another sheet has other headings.
    let same_sheet = answers.sheet == before.sheet || before.sheet.is_none();
    for (name, value) in typed {
        let value = value.trim();
        if let Some(number) = name.strip_prefix("column-").filter(|_| same_sheet) {
            let heading = text(&format!("heading-{number}"));
            match Target::from_words(value) {
                Some(target) if !heading.is_empty() => {
                    answers.headings.insert(heading.to_owned(), target);
                }
                None if !value.is_empty() => refuse(name),
                _ => {}
            }
        } else if let Some(number) = name.strip_prefix("unit-").filter(|_| same_sheet) {
            let heading = text(&format!("heading-{number}"));
            match Unit::from_words(value) {
                Some(unit) if !heading.is_empty() => {
                    answers.units.insert(heading.to_owned(), unit);
                }
                None if !value.is_empty() => refuse(name),
                _ => {}
            }
        } else if let Some(field) = name.strip_prefix("silent-") {
            answers.silent.insert(field.to_owned(), value.to_owned());
        } else if let Some(number) = name.strip_prefix("meaning-") {
            let field = text(&format!("field-{number}"));
            let word = text(&format!("word-{number}"));
            if !value.is_empty() && !field.is_empty() {
                let words = answers.words.entry(field.to_owned()).or_default();
                words.insert(word.to_owned(), value.to_owned());
            }
        }
    }
    answers.silent.retain(|_, value| !value.is_empty());
    answers
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
            let shown = shown(&app, &signed, id, &file, &FieldErrors::default()).await?;
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
