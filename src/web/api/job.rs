//! Jobs, their kit, and the verdict, for programs.

use axum::{Json, extract::State, response::Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{PageJson, ProblemJson, created, tagged};
use crate::{
    deed::{self, job::JobEndDraft, kit::Look},
    domain::{
        Candidate, Item, Job, JobDraft, JobId, JobState, Kind, KitEntry, KitLine, KitLineDraft,
        KitLineId, KitList, Refusal, WithCrew, Withdrawn, Zone,
        kit_strength::{Extent, KitGap, KitVerdict, Otherwise, WhatIf},
    },
    store::{Direction, JobFilter},
    web::{
        App, IfMatch, JsonBody, Path, Problem, Query, Signed,
        listed::{FormId, ROWS, cursor},
    },
};

/// Whose clocks tell a time that brings no offset.
const CLOCKS: Zone = Zone::UTC;

/// What stands behind the question mark of the jobs.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedJobs {
    state: String,
    after: String,
}

/// List jobs
///
/// Planned ones begin with the next; those that have ended begin with the last.
#[utoipa::path(get, path = "/api/v1/jobs", tag = "jobs", params(
    ("state" = Option<String>, Query, description = "planned, closed or cancelled; planned if it is left out"),
    ("after" = Option<String>, Query)), responses((status = 200, body = PageJson<Job>)))]
pub(in crate::web) async fn api_jobs(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedJobs>,
) -> Result<Json<PageJson<Job>>, Problem> {
    let state = JobState::from_key(&asked.state).unwrap_or(JobState::Planned);
    let direction = if state == JobState::Planned {
        Direction::Up
    } else {
        Direction::Down
    };
    let filter = JobFilter {
        state: Some(state),
        ..JobFilter::default()
    };
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let page = tx
        .jobs(filter, direction, cursor(&asked.after)?.as_ref(), ROWS)
        .await?;
    Ok(Json(page.into()))
}

/// A line of a kit list, judged now.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct KitEntryJson {
    line: KitLine,
    item: Item,
    /// Why it may not go after all; empty means that it may.
    refusals: Vec<Refusal>,
    /// With which other job's crew it is, where it was not counted back yet.
    #[serde(skip_serializing_if = "Option::is_none")]
    with_crew: Option<WithCrew>,
}

impl From<&KitEntry> for KitEntryJson {
    fn from(entry: &KitEntry) -> Self {
        Self {
            line: entry.line.clone(),
            item: entry.item.clone(),
            refusals: entry.refusals.clone(),
            with_crew: entry.with_crew.clone(),
        }
    }
}

/// A job with its kit list and the verdict on it.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct JobSheetJson {
    job: Job,
    kit: Vec<KitEntryJson>,
    /// Whether everything on the list may go and is strong enough.
    passes: bool,
    /// The answer in one sentence.
    sentence: String,
    /// Whether its rig and its rulebook are offered for new jobs no more; the job keeps them.
    withdrawn: Withdrawn,
    /// Forces, factors, the weakest link, hand force, people, rope, what is missing, assumptions, cautions. A `phase` is
    /// `hauling`, `lowering`, `held` (by the capture), `at-rest`, `on-belay` (the main rope is slack or has failed, and the
    /// load hangs still on the belay), `stuck-load` or `belay-catch`; `frictionless` is for comparison and judged nowhere.
    #[schema(value_type = Object)]
    verdict: KitVerdict,
}

impl From<KitList> for JobSheetJson {
    fn from(list: KitList) -> Self {
        Self {
            kit: list.entries.iter().map(KitEntryJson::from).collect(),
            passes: list.passes(),
            sentence: list.sentence(),
            withdrawn: list.withdrawn,
            verdict: list.verdict,
            job: list.job,
        }
    }
}

/// One job, its kit and the verdict
#[utoipa::path(get, path = "/api/v1/jobs/{id}", tag = "jobs", params(("id" = Uuid, Path)), responses(
    (status = 200, body = JobSheetJson, headers(("ETag" = String))), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_job(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
) -> Result<Response, Problem> {
    let list = deed::kit::show(&app.desk, &signed.actor, id, Extent::WithSwings).await?;
    Ok(tagged(list.job.revision, JobSheetJson::from(list)))
}

/// Plan a job
///
/// `load` is a mass with its unit, or `1 person`, `2 persons`; with a `case` it may be empty and is that of its people.
/// Times carry their offset, such as
/// `2026-03-01T08:00:00+01:00`; without one they are UTC, whatever the team's time zone.
#[utoipa::path(post, path = "/api/v1/jobs", tag = "jobs", params(("id" = Option<Uuid>, Query)), request_body = JobDraft,
    responses((status = 201, body = Job, headers(("ETag" = String))), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_plan(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<JobDraft>,
) -> Result<Response, Problem> {
    let job = deed::job::plan(&app.desk, &signed.actor, JobId(given.id()), &draft, &CLOCKS).await?;
    Ok(created(job.revision, job))
}

/// Change the plan of a job
#[utoipa::path(put, path = "/api/v1/jobs/{id}", tag = "jobs", params(("id" = Uuid, Path), ("If-Match" = String, Header)),
    request_body = JobDraft, responses((status = 200, body = Job, headers(("ETag" = String))), (status = 409, body = ProblemJson),
    (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_revise_job(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    seen: IfMatch,
    JsonBody(draft): JsonBody<JobDraft>,
) -> Result<Response, Problem> {
    let (desk, actor) = (&app.desk, &signed.actor);
    let job = deed::job::revise(desk, actor, id, seen.version()?, &draft, &CLOCKS).await?;
    Ok(tagged(job.revision, job))
}

/// Close a job or call it off
#[utoipa::path(post, path = "/api/v1/jobs/{id}/end", tag = "jobs", params(("id" = Uuid, Path)), request_body = JobEndDraft,
    responses((status = 200, body = Job), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_end(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    JsonBody(draft): JsonBody<JobEndDraft>,
) -> Result<Json<Job>, Problem> {
    Ok(Json(
        deed::job::end(&app.desk, &signed.actor, id, &draft).await?,
    ))
}

/// What stands behind the question mark of the candidates.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedCandidates {
    position: String,
    kind: String,
    q: String,
    after: String,
}

/// An item that might go on, with every reason against it.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct CandidateJson {
    item: Item,
    /// The name of the store that it lives in.
    store: String,
    /// Empty means that it may go.
    refusals: Vec<Refusal>,
    /// What its record lacks for the verdict at this position.
    gaps: Vec<KitGap>,
    /// With which other job's crew it is, where it was not counted back yet.
    #[serde(skip_serializing_if = "Option::is_none")]
    with_crew: Option<WithCrew>,
}

impl From<Candidate> for CandidateJson {
    fn from(candidate: Candidate) -> Self {
        Self {
            item: candidate.item,
            store: candidate.store,
            refusals: candidate.refusals,
            gaps: candidate.gaps,
            with_crew: candidate.with_crew,
        }
    }
}

/// What might go on a job
///
/// The fit ones first; of those that are alike in that, the ones that live in the store from which most of the kit comes.
/// The first page has what may go from further on too, which comes again on the page where it stands.
#[utoipa::path(get, path = "/api/v1/jobs/{id}/candidates", tag = "jobs", params(("id" = Uuid, Path),
    ("position" = Option<String>, Query, description = "A position's key; left out, spares are looked for"),
    ("kind" = Option<String>, Query), ("q" = Option<String>, Query), ("after" = Option<String>, Query)),
    responses((status = 200, body = PageJson<CandidateJson>), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_candidates(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<AskedCandidates>,
) -> Result<Json<PageJson<CandidateJson>>, Problem> {
    let look = Look {
        position: Some(asked.position).filter(|key| !key.is_empty()),
        kinds: Kind::from_word(&asked.kind).into_iter().collect(),
        search: asked.q,
        after: cursor(&asked.after)?,
    };
    let found = deed::kit::candidates(&app.desk, &signed.actor, id, &look).await?;
    Ok(Json(PageJson {
        rows: found.rows.into_iter().map(CandidateJson::from).collect(),
        next: found.next.map(|next| next.to_string()),
    }))
}

/// What a kit comes to with the job planned otherwise
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct WhatIfJson {
    /// The verdict on the kit as it is planned; it passes only where everything on the list may go.
    #[schema(value_type = Object)]
    planned: KitVerdict,
    /// The job as it would be planned, whether the kit passes then, what of it may not go and why, where each item would
    /// go, and the verdict then. Where it loses the belay of the plan it does not pass.
    #[schema(value_type = Object)]
    otherwise: Otherwise,
}

/// The verdict with another rig, load, weather or time
///
/// Nothing is stored. What is left out stays as it is planned. Every item is held against the other plan as it is against
/// the plan itself.
#[utoipa::path(get, path = "/api/v1/jobs/{id}/what-if", tag = "jobs", params(("id" = Uuid, Path), WhatIf),
    responses((status = 200, body = WhatIfJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_what_if(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<WhatIf>,
) -> Result<Json<WhatIfJson>, Problem> {
    let extent = Extent::WithSwings;
    let list = deed::kit::show(&app.desk, &signed.actor, id, extent).await?;
    let changes = (&asked, &CLOCKS);
    let otherwise = deed::kit::otherwise(&app.desk, &signed.actor, &list, changes, extent).await?;
    let passes = list.passes();
    Ok(Json(WhatIfJson {
        planned: KitVerdict {
            passes,
            ..list.verdict
        },
        otherwise,
    }))
}

/// Put an item on a kit list
///
/// `item` is an id, a mark, or a code that is on the item as a scanner gives it. A refusal names every reason with its rule and source; the attempt is kept.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/kit", tag = "jobs", params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)),
    request_body = KitLineDraft, responses((status = 201, body = KitLine), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_line(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<KitLineDraft>,
) -> Result<Response, Problem> {
    let line = deed::kit::add(&app.desk, &signed.actor, id, KitLineId(given.id()), &draft).await?;
    Ok(created(1, line))
}

/// The item that is put in another's place.
#[derive(Default, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub(in crate::web) struct SwapJson {
    /// An id, a mark, or a code that is on the item.
    item: String,
}

/// Put an item in the place of another
///
/// The line is taken off and the other item put at its position, both or neither. A refusal names every reason. Where the
/// line is off the list by now, the answer is 409 with who took it off, when, and what stands there.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/kit/{line}/swap", tag = "jobs",
    params(("id" = Uuid, Path), ("line" = Uuid, Path), ("id" = Option<Uuid>, Query)), request_body = SwapJson, responses(
    (status = 201, body = KitLine), (status = 404, body = ProblemJson), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_swap_line(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<(JobId, KitLineId)>,
    Query(given): Query<FormId>,
    JsonBody(swap): JsonBody<SwapJson>,
) -> Result<Response, Problem> {
    let new = (KitLineId(given.id()), swap.item.as_str());
    let line = deed::kit::swap(&app.desk, &signed.actor, of, new).await?;
    Ok(created(1, line))
}

/// Take an item off a kit list
#[utoipa::path(delete, path = "/api/v1/jobs/{id}/kit/{line}", tag = "jobs", params(("id" = Uuid, Path), ("line" = Uuid, Path)),
    responses((status = 200, body = KitLine), (status = 404, body = ProblemJson), (status = 409, body = ProblemJson)))]
pub(in crate::web) async fn api_remove_line(
    State(app): State<App>,
    signed: Signed,
    Path((id, line)): Path<(JobId, KitLineId)>,
) -> Result<Json<KitLine>, Problem> {
    Ok(Json(
        deed::kit::remove(&app.desk, &signed.actor, id, line, "").await?,
    ))
}

/// Keep the verdict
///
/// The verdict is worked out anew and kept in the history, word for word, with all it was worked out from.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/verdicts", tag = "jobs", params(("id" = Uuid, Path)), responses(
    (status = 201, body = JobSheetJson), (status = 409, body = ProblemJson)))]
pub(in crate::web) async fn api_keep_verdict(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
) -> Result<Response, Problem> {
    let list = deed::kit::keep_verdict(&app.desk, &signed.actor, id).await?;
    Ok(created(list.job.revision, JobSheetJson::from(list)))
}
