//! Bringing in a list, for programs: send the file, read the rehearsal, answer what is asked, say yes.

mod asked;
mod there;

use axum::{
    Json,
    body::Bytes,
    extract::{State, rejection::BytesRejection},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use uuid::Uuid;

use super::{FieldErrorJson, ProblemJson};
use crate::{
    deed::import::{self, ImportFile},
    domain::FieldError,
    import::{Answers, Foretold, LARGEST_FILE, OfModel, Offer, Reason, Rehearsal},
    web::{App, JsonBody, Path, Problem, Query, Signed},
};
use asked::AskedJson;
use there::{HeldJson, ThereJson};

/// What would come of a file.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct RehearsalJson {
    /// The id under which the file waits.
    id: Uuid,
    /// Whether it can be taken in as it stands.
    ready: bool,
    /// The answer in one sentence.
    sentence: String,
    /// How many items would be added.
    items: usize,
    /// What is asked, a sentence each; answered with the headings, words or silent fields they name.
    questions: Vec<String>,
    /// What is asked of models and may stay open, a sentence each: it only decides what jobs say.
    open: Vec<String>,
    /// All of what is asked, with where it is answered and by which words.
    asked: Vec<AskedJson>,
    /// What was answered and does not hold: it applies to nothing.
    #[schema(value_type = Vec<FieldErrorJson>)]
    faulty: Vec<FieldError>,
    /// What is wrong, by row and column.
    errors: Vec<RowErrorJson>,
    /// What a person should know before they say yes.
    remarks: Vec<String>,
    /// What every job will say of the items that would come in.
    foretold: Option<ForetoldJson>,
    /// What jobs will ask of the models beside, while something has to be answered first: all of it can be said in one go.
    foreseen: Option<ForetoldJson>,
    /// The rows whose items the register has already.
    there: Vec<ThereJson>,
    /// The items that go to quarantine as soon as the list is taken in, since a safety notice is open for them.
    held: Vec<HeldJson>,
    /// The rows that were chosen to be left out.
    left_out: Vec<u32>,
    /// What was answered so far.
    #[schema(value_type = Object)]
    answers: Answers,
    /// The list whose answers were taken over, if some were.
    answers_from: Option<String>,
}

/// What every job will say of the items that would come in.
#[derive(Serialize, ToSchema)]
struct ForetoldJson {
    /// The rulebook by which it is told.
    rulebook: String,
    /// The answer in one sentence; none if nothing stands against the items on every job.
    sentence: Option<String>,
    /// How many items no job will take.
    refused: usize,
    /// How many of those only wait for a first look at their markings.
    first_look: usize,
    /// How many jobs may take, but no verdict will be said with.
    lacking: usize,
    /// Why.
    reasons: Vec<ReasonJson>,
    /// What single positions of the shipped rigs ask beside; other jobs take the items all the same.
    at_positions: Vec<ReasonJson>,
    /// What papers often state of new models, and no verdict judges while it stays open.
    papers: Vec<ReasonJson>,
}

/// Why no job takes some of the items.
#[derive(Serialize, ToSchema)]
struct ReasonJson {
    /// A stable word. `markings-unknown`, `never-examined` and `overdue` can be answered for all under `seen`.
    code: &'static str,
    /// What is wrong or missing.
    sentence: &'static str,
    /// What to do about it.
    to_do: String,
    /// The rows.
    rows: Vec<u32>,
    /// The models that lack something, where it is they.
    models: Vec<OfModelJson>,
}

/// A model whose record lacks something.
#[derive(Serialize, ToSchema)]
struct OfModelJson {
    /// Maker and name in one line: its name under `models`.
    title: String,
    /// The field that an answer under `models` fills; none where it is mended elsewhere.
    field: Option<String>,
    /// What is wrong, and what would mend it.
    sentence: String,
    /// How many rows are items of it.
    items: usize,
    /// At how many positions that shipped rigs must have filled this keeps the nearest model of the list from going: what
    /// is worth an answer first.
    opens: usize,
}

impl ForetoldJson {
    fn new(foretold: &Foretold) -> Self {
        let model = |model: &OfModel| OfModelJson {
            title: model.title.clone(),
            field: model
                .field
                .filter(|_| model.id.is_none())
                .map(|field| field.key()),
            sentence: model.sentence.clone(),
            items: model.items,
            opens: model.opens,
        };
        let reason = |reason: &Reason| ReasonJson {
            code: reason.code,
            sentence: reason.sentence,
            to_do: reason.to_do.clone(),
            rows: reason.rows.clone(),
            models: match &reason.offer {
                Offer::Models(models) => models.iter().map(model).collect(),
                _ => Vec::new(),
            },
        };
        Self {
            rulebook: foretold.rulebook.clone(),
            sentence: foretold.sentence(),
            refused: foretold.refused,
            first_look: foretold.first_look,
            lacking: foretold.lacking,
            reasons: foretold.reasons.iter().map(reason).collect(),
            at_positions: foretold.at_positions.iter().map(reason).collect(),
            papers: foretold.papers.iter().map(reason).collect(),
        }
    }
}

/// Something wrong in a row.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct RowErrorJson {
    /// The row, as the spreadsheet counts it.
    row: u32,
    /// The letters of the column.
    column: Option<String>,
    /// A stable word.
    code: String,
    /// What is wrong and what to do.
    message: String,
}

impl RehearsalJson {
    fn new(id: Uuid, file: &ImportFile, rehearsal: &Rehearsal) -> Self {
        let error = |error: &crate::import::RowError| RowErrorJson {
            row: error.row,
            column: error.column.clone(),
            code: error.code.clone(),
            message: error.message.clone(),
        };
        Self {
            id,
            ready: rehearsal.is_ready(),
            sentence: rehearsal.sentence(),
            items: rehearsal.items(),
            questions: rehearsal
                .questions
                .iter()
                .map(|question| question.sentence())
                .collect(),
            open: rehearsal
                .open
                .iter()
                .map(|question| question.sentence())
                .collect(),
            asked: AskedJson::all(rehearsal),
            faulty: rehearsal.faulty.0.clone(),
            errors: rehearsal.errors.iter().map(error).collect(),
            remarks: rehearsal
                .remarks
                .iter()
                .map(|remark| remark.sentence.clone())
                .collect(),
            foretold: rehearsal.foretold.as_ref().map(ForetoldJson::new),
            foreseen: rehearsal.foreseen.as_ref().map(ForetoldJson::new),
            there: ThereJson::all(rehearsal),
            held: HeldJson::all(rehearsal),
            left_out: file.answers.left_out.iter().copied().collect(),
            answers: file.answers.clone(),
            answers_from: file.taken_over.as_ref().map(|over| over.file.clone()),
        }
    }
}

/// What the file is called.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Named {
    name: String,
}

/// Send a list
///
/// The body is the file itself; `?name=` is what it is called, and its ending says what it is. It waits until
/// somebody says yes; nothing of it is in the register before.
#[utoipa::path(post, path = "/api/v1/imports", tag = "import", params(("name" = String, Query)),
    request_body(content = Vec<u8>, content_type = "application/octet-stream"),
    responses((status = 201, body = RehearsalJson), (status = 413, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_send(
    State(app): State<App>,
    signed: Signed,
    Query(named): Query<Named>,
    body: Result<Bytes, BytesRejection>,
) -> Result<Response, Problem> {
    let bytes = body.map_err(|_| Problem::TooLarge {
        limit: LARGEST_FILE,
        given: None,
    })?;
    if bytes.len() > LARGEST_FILE {
        return Err(Problem::TooLarge {
            limit: LARGEST_FILE,
            given: Some(bytes.len()),
        });
    }
    let name = named.name.chars().filter(|c| !c.is_control()).take(200);
    let file = ImportFile::new(name.collect::<String>(), bytes.to_vec());
    let id = import::keep(&app.desk, &signed.actor, &file).await?;
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    let rehearsal = rehearsed(&app, &signed, id, &file).await?;
    Ok((StatusCode::CREATED, rehearsal).into_response())
}

async fn rehearsed(
    app: &App,
    signed: &Signed,
    id: Uuid,
    file: &ImportFile,
) -> Result<Json<RehearsalJson>, Problem> {
    let rehearsal = import::look(&app.desk, &signed.actor, file).await?;
    Ok(Json(RehearsalJson::new(id, file, &rehearsal)))
}

/// The rehearsal of a list that waits
#[utoipa::path(get, path = "/api/v1/imports/{id}", tag = "import", params(("id" = Uuid, Path)), responses(
    (status = 200, body = RehearsalJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_rehearsal(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
) -> Result<Json<RehearsalJson>, Problem> {
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    rehearsed(&app, &signed, id, &file).await
}

/// Answer what is asked
///
/// `asked` of the rehearsal says of each question where its answer stands, and which there are. What is said of a model that the
/// list does not name is refused.
///
/// All answers at once: `dates` (day-first, month-first), `decimal` (comma, point), `sheet`, `headings` (heading
/// to field, `in-note` or `leave-out`), `units` (heading to unit: mm, kN, %), `words` (field to word to meaning), `silent` (field to value),
/// `silent_rows` (field to how many rows that was said for: where there are more, it is asked again; without it it holds for all),
/// `stated` (take, leave-out: what names and descriptions state and no column holds), `less_than_day` (first, in-note:
/// what a month or a year stands for where a day is kept), `ranges` (several, one: what marks such as R1-R12 stand for),
/// `numbered` (each, one: what a row stands for that has one mark and a quantity above one), `restricted` (quarantine, go: what becomes of
/// items whose remarks restrict them, with `update` of those in service that are there already too; under `words`, `note`, of single
/// remarks), `differing` (apart: rows that say otherwise of their model
/// become items of a model of their own), `competent` (the name in the list to `id` and `draft` of a qualification: recorded with the taking in),
/// `maker_is` (first-word, each, one: who the maker is where the list has none), `makers` (the model's name to its maker, for each),
/// `seen` (reason to `by` and `on`: what somebody has seen of all items), `models` (maker and name in one line to field to value),
/// `source` (marking, paper, test, note or not-known, for an efficiency also assumed: where these were read), `sources` (the same names to where single ones were read
/// otherwise; a `made` may also be said of one lot, under "maker and name, lot L"), `people` (kind to yes or no, where whether it
/// may hold people is not as `silent` says for all), `agreed` (maker and name in one line to field to what holds of all rows of the model, `register`,
/// `apart` or `leave-out`; with `update` of items that are there already too, which stay items of their model), `markings` (not-yet, list: what is known of the markings where nobody says to have seen them),
/// `left_out` (rows), `update` (whether items that are there already are updated).
#[utoipa::path(put, path = "/api/v1/imports/{id}/answers", tag = "import", params(("id" = Uuid, Path)),
    request_body = Object, responses((status = 200, body = RehearsalJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_answer(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
    JsonBody(answers): JsonBody<Answers>,
) -> Result<Json<RehearsalJson>, Problem> {
    import::no_new_fault(&app.desk, &signed.actor, id, &answers).await?;
    import::of_its_models(&app.desk, &signed.actor, id, &answers).await?;
    let file = import::answer(&app.desk, &signed.actor, id, answers).await?;
    rehearsed(&app, &signed, id, &file).await
}

/// Leave out every row in which something is wrong
///
/// Their numbers are in `left_out` then, and can be taken back with the answers.
#[utoipa::path(post, path = "/api/v1/imports/{id}/leave-out-wrong", tag = "import", params(("id" = Uuid, Path)),
    responses((status = 200, body = RehearsalJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_leave_out_wrong(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
) -> Result<Json<RehearsalJson>, Problem> {
    import::leave_out_wrong(&app.desk, &signed.actor, id).await?;
    let file = import::waiting(&app.desk, &signed.actor, id).await?;
    rehearsed(&app, &signed, id, &file).await
}

/// The rows that were chosen to be left out, as a CSV file
#[utoipa::path(get, path = "/api/v1/imports/{id}/left-out.csv", tag = "import", params(("id" = Uuid, Path)),
    responses((status = 200, body = String, content_type = "text/csv"), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_left_out(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
) -> Result<Response, Problem> {
    crate::web::import::file_left_out(State(app), signed, Path(id)).await
}

/// What was taken in.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct TakenJson {
    /// How many items.
    items: usize,
    /// How many models are new.
    models: usize,
    /// How many stores are new.
    stores: usize,
    /// How many items that were there already are updated.
    updated: usize,
    /// How many rows were chosen to be left out; they wait as a list of their own under the same id.
    left_out: usize,
    /// The marks of the items that went to quarantine, since a safety notice is open for them.
    held: Vec<String>,
}

/// Take a list in
///
/// All of it or nothing: it is rehearsed again in the same transaction.
#[utoipa::path(post, path = "/api/v1/imports/{id}/take", tag = "import", params(("id" = Uuid, Path)), responses(
    (status = 201, body = TakenJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_take(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<Uuid>,
) -> Result<Response, Problem> {
    let taken = import::take_waiting(&app.desk, &signed.actor, id).await?;
    let taken = TakenJson {
        items: taken.items,
        models: taken.models,
        stores: taken.stores,
        updated: taken.updated,
        left_out: taken.left_out,
        held: taken.held,
    };
    Ok((StatusCode::CREATED, Json(taken)).into_response())
}
