//! Bringing in a list that was kept elsewhere: choosing the file, seeing what would come of it,
//! answering what is asked, saying yes.

mod agreed;
mod asked;
mod competent;
mod foretold;
mod given;
mod maker;
mod missing;
mod other_file;
mod people;
mod restricted;
mod rows;
mod said;
mod seen;
mod sheet;
mod taken;
mod typed;

use axum::{
    extract::{Multipart, State, multipart::MultipartRejection},
    http::{StatusCode, header},
    response::{IntoResponse, Response},
};
use uuid::Uuid;

use super::{App, Done, Form, Page, Path, Problem, Query, Signed, upload};
use crate::{
    deed::{
        DeedError,
        import::{self, ImportFile},
        qualification,
    },
    domain::{Competence, Deed, FieldErrors},
    import::{LARGEST_FILE, Question, Rehearsal},
    view::{
        Section,
        import::{BringFile, RehearsalSheet},
        words::count,
    },
};
pub(super) use other_file::page_replace;
use rows::Part;
use seen::Looker;
use typed::Typed;

/// The page to choose a file.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<BringFile>, Problem> {
    Ok(Page(bring(&app, &signed, &FieldErrors::default()).await?))
}

async fn bring(app: &App, signed: &Signed, wrong: &FieldErrors) -> Result<BringFile, Problem> {
    let waiting = import::all_waiting(&app.desk, &signed.actor).await?;
    let waiting = waiting.into_iter().map(|draft| {
        let since = signed.zone.words(draft.created_at);
        (format!("/import/{}", draft.id), draft.file_name, since)
    });
    let shell = signed.shell_in(Section::Items, "Bring in a list");
    Ok(BringFile::new(shell, wrong, waiting.collect()))
}

/// Takes a file and keeps it until somebody says yes to it.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    upload: Result<Multipart, MultipartRejection>,
) -> Result<Response, Problem> {
    let Some((name, bytes)) = upload::receive(upload, LARGEST_FILE).await? else {
        let wrong = FieldErrors::one("file", "required", "Choose a file.");
        return Ok(Page::wrong(bring(&app, &signed, &wrong).await?));
    };
    let file = ImportFile::new(name, bytes);
    match import::keep(&app.desk, &signed.actor, &file).await {
        Ok(id) => Ok(Done::to(format!("/import/{id}")).into_response()),
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(bring(&app, &signed, &wrong).await?)),
        Err(other) => Err(other.into()),
    }
}

/// What would come of the file that waits.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
    Query(part): Query<Part>,
) -> Result<Response, Problem> {
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    shown(&app, &signed, (id, &file), &Sent::default(), &part).await
}

/// What was sent, and what was wrong with it.
#[derive(Default)]
struct Sent {
    wrong: FieldErrors,
    typed: Typed,
    /// Whether it was kept, and only something is missing beside.
    is_kept: bool,
}

async fn shown(
    app: &App,
    signed: &Signed,
    (id, file): (Uuid, &ImportFile),
    sent: &Sent,
    part: &Part,
) -> Result<Response, Problem> {
    let rehearsal = match import::look(&app.desk, &signed.actor, file).await {
        Ok(rehearsal) => rehearsal,
        Err(DeedError::Invalid(wrong)) => {
            return Ok(Page::wrong(bring(app, signed, &wrong).await?));
        }
        Err(other) => return Err(other.into()),
    };
    let shell = signed.shell_in(Section::Items, &file.name);
    let competence = competence(app, signed, &rehearsal).await?;
    let looker = Looker {
        name: signed.name(),
        competence: competence.as_ref(),
    };
    let read = (file, &rehearsal);
    let sheet: RehearsalSheet = sheet::sheet(shell, id, read, sent, (looker, part));
    Ok(if sent.wrong.is_empty() {
        Page(sheet).into_response()
    } else {
        Page::wrong(sheet)
    })
}

/// Who is competent, where the list asks for it and this person may record more of them.
async fn competence(
    app: &App,
    signed: &Signed,
    rehearsal: &Rehearsal,
) -> Result<Option<Competence>, Problem> {
    let mut questions = rehearsal.questions.iter();
    let asked = questions.any(|one| matches!(one, Question::Examiner { .. }));
    if !asked || !signed.actor.role.may(Deed::KeepPeople) {
        return Ok(None);
    }
    let competence = qualification::list(&app.desk, &signed.actor).await?;
    Ok(Some(competence))
}

/// Keeps what was answered, and shows what would come of it now.
pub(super) async fn page_answer(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
    Form(typed): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    let mut sent = Sent {
        typed: Typed::new(typed),
        ..Sent::default()
    };
    let told = keep(&app, &signed, (id, &file), &mut sent).await?;
    if !sent.wrong.is_empty() {
        let part = Part::of_button(sent.typed.text("here"));
        return shown(&app, &signed, (id, &file), &sent, &part).await;
    }
    match told {
        Some(told) => {
            let done = Done::to(format!("/import/{id}"));
            Ok(done.saying(told).into_response())
        }
        None => answered(&app, &signed, id, &sent.typed).await,
    }
}

/// Keeps what was answered, and gives what was recorded beside; what does not hold stands in `sent`, and nothing is kept.
async fn keep(
    app: &App,
    signed: &Signed,
    (id, file): (Uuid, &ImportFile),
    sent: &mut Sent,
) -> Result<Option<String>, Problem> {
    let mut answers = sent.typed.answers(&file.answers, &mut sent.wrong);
    let mut told = None;
    if sent.wrong.is_empty() {
        match competent::take_down((app, signed), &sent.typed, &mut answers).await? {
            Ok(sentence) => told = sentence,
            Err(wrong) => sent.wrong = wrong,
        }
    }
    if sent.wrong.is_empty() {
        match import::answer(&app.desk, &signed.actor, id, answers).await {
            Ok(_) => {}
            Err(DeedError::Invalid(found)) => sent.wrong = found,
            Err(other) => return Err(other.into()),
        }
    }
    Ok(told)
}

/// The page with what was kept, where a field that the list waits for was sent empty; none where none was.
async fn still_missing(
    app: &App,
    signed: &Signed,
    id: Uuid,
    typed: &Typed,
) -> Result<Option<Response>, Problem> {
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    let Ok(rehearsal) = import::look(&app.desk, &signed.actor, &file).await else {
        return Ok(None);
    };
    let sent = Sent {
        wrong: missing::missing(&rehearsal, typed),
        is_kept: true,
        ..Sent::default()
    };
    if sent.wrong.is_empty() {
        return Ok(None);
    }
    let part = Part::of_button(typed.text("here"));
    shown(app, signed, (id, &file), &sent, &part)
        .await
        .map(Some)
}

/// Goes on to where the button that was pressed leads.
async fn answered(
    app: &App,
    signed: &Signed,
    id: Uuid,
    typed: &Typed,
) -> Result<Response, Problem> {
    let page = format!("/import/{id}");
    let here = Part::of_button(typed.text("here")).address();
    let (go, act) = (typed.text("go"), typed.text("do"));
    if !go.is_empty() {
        let there = Part::of_button(go).address();
        return Ok(Done::to(page + &there).into_response());
    }
    let done = match act {
        "leave-out-wrong" => {
            let rows = import::leave_out_wrong(&app.desk, &signed.actor, id).await?;
            let rows = count(rows, "more row is", "more rows are");
            Done::to(page).saying(format!("{rows} left out."))
        }
        "leave-out" | "take-back" => Done::to(page + &here),
        _ => match still_missing(app, signed, id, typed).await? {
            Some(page) => return Ok(page),
            None => Done::to(page),
        },
    };
    Ok(done.into_response())
}

/// The rows that were chosen to be left out, as a list of their own.
pub(super) async fn file_left_out(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
) -> Result<Response, Problem> {
    let (_, bytes) = import::left_out_waiting(&app.desk, &signed.actor, id).await?;
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8"),
        (
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"left-out.csv\"",
        ),
    ];
    Ok((headers, bytes).into_response())
}

/// Takes the file in: what the page showed, and nothing that was typed since.
pub(super) async fn page_take(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
    Form(typed): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    let mut sent = Sent {
        typed: Typed::new(typed),
        ..Sent::default()
    };
    if let Some(answered) = typed_since(&app, &signed, (id, &file), &mut sent).await? {
        return Ok(answered);
    }
    let rehearsal = import::look(&app.desk, &signed.actor, &file).await;
    let foretold = rehearsal.ok().and_then(|rehearsal| rehearsal.foretold);
    match import::take_waiting(&app.desk, &signed.actor, id).await {
        Ok(taken) => {
            let (may_plan, told) = (signed.actor.role.may(Deed::PlanJob), foretold.as_ref());
            Ok(taken::done(&taken, told, may_plan).into_response())
        }
        // The register has changed since; the page says what is in the way now.
        Err(DeedError::Invalid(_)) => {
            let part = Part::default();
            let shown = shown(&app, &signed, (id, &file), &Sent::default(), &part).await?;
            Ok((StatusCode::CONFLICT, shown).into_response())
        }
        Err(other) => Err(other.into()),
    }
}

/// Where something was typed that the page did not show the outcome of, keeps it and shows that first.
async fn typed_since(
    app: &App,
    signed: &Signed,
    (id, file): (Uuid, &ImportFile),
    sent: &mut Sent,
) -> Result<Option<Response>, Problem> {
    if sent.typed.is_empty() {
        return Ok(None);
    }
    let answers = sent.typed.answers(&file.answers, &mut sent.wrong);
    if !sent.wrong.is_empty() {
        let part = Part::default();
        return shown(app, signed, (id, file), sent, &part).await.map(Some);
    }
    let now = ImportFile {
        answers: answers.clone(),
        ..file.clone()
    };
    let before = import::look(&app.desk, &signed.actor, file).await;
    let after = import::look(&app.desk, &signed.actor, &now).await;
    match (before, after) {
        (Ok(before), Ok(after)) if before == after => Ok(None),
        (_, Err(DeedError::Invalid(wrong))) => {
            sent.wrong = wrong;
            let part = Part::default();
            shown(app, signed, (id, file), sent, &part).await.map(Some)
        }
        _ => {
            import::answer(&app.desk, &signed.actor, id, answers).await?;
            Ok(Some(
                Done::to(format!("/import/{id}"))
                    .saying("Your answers are kept. This is what would come of the list with them; nothing is taken in yet.")
                    .into_response(),
            ))
        }
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
