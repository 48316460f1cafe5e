//! The list of jobs, and the form in which one is planned.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{may_plan, shell};
use crate::{
    deed::{self, DeedError, Seen, job::JobEndDraft},
    domain::{Edition, FieldErrors, Job, JobDraft, JobId, JobState, OwnRig, rulebook::rulebook},
    store::{Direction, JobFilter, ModelFilter, Tx},
    view::{
        form::Form as FormView,
        job::{JobForm, JobList, JobRow, PlanChoices},
        part::{Empty, SectionNav},
        rulebook::{WhichRulebook, job_choices},
        words,
    },
    web::{
        App, Done, Form, Page, Path, Problem, Query, Signed,
        export::offered,
        listed::{FormId, ROWS, address, cursor, of_list, pager},
        page::answer,
    },
};

/// What the list shows.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Shown {
    state: String,
    after: String,
}

/// Jobs, the next ones first; those that have ended, the last ones first.
pub(in crate::web) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(shown): Query<Shown>,
) -> Result<Page<JobList>, Problem> {
    let state = JobState::from_key(&shown.state).unwrap_or(JobState::Planned);
    let direction = if state == JobState::Planned {
        Direction::Up
    } else {
        Direction::Down
    };
    let after = cursor(&shown.after)?;
    let filter = JobFilter {
        state: Some(state),
        ..JobFilter::default()
    };
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let page = tx.jobs(filter, direction, after.as_ref(), ROWS).await;
    let page = page.map_err(of_list)?;
    let key = |state: JobState| match state {
        JobState::Planned => "",
        other => other.key(),
    };
    let link = |state: JobState, word: &str| {
        let page = address("/jobs", &[("state", key(state))]);
        (word.to_owned(), page)
    };
    let jobs = words::count(page.rows.len(), "job", "jobs");
    Ok(Page(JobList {
        shell: shell(&signed, "Jobs"),
        nav: SectionNav {
            label: "Jobs by state".to_owned(),
            links: vec![
                link(JobState::Planned, "Planned"),
                link(JobState::Closed, "Closed"),
                link(JobState::Cancelled, "Cancelled"),
            ],
            here: address("/jobs", &[("state", key(state))]),
        },
        pager: pager(
            "/jobs",
            &[("state", key(state))],
            &shown.after,
            page.next.as_ref(),
            jobs,
        ),
        rows: page
            .rows
            .iter()
            .map(|job| JobRow::new(job, &signed.zone))
            .collect(),
        empty: empty(state, may_plan(&signed)),
        may_plan: may_plan(&signed),
        file: offered("jobs", &[]).named("Take all jobs along"),
    }))
}

fn empty(state: JobState, may_plan: bool) -> Empty {
    let empty = Empty::new(
        format!("No job is {}.", state.key()),
        "A job says where, when, how deep and with what load; then its kit is chosen.",
    );
    if may_plan && state == JobState::Planned {
        empty.step("Plan a job", "/jobs/new")
    } else {
        empty
    }
}

/// How many models are looked at for the rulebook that a plan begins with.
const MOST_MODELS: u32 = 500;

/// An empty plan, with the rulebook by which the register seems to be kept.
pub(in crate::web) async fn page_new(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<JobForm>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let team = tx.this_team().await?;
    let home = team.map(|(team, _)| team.rulebook).unwrap_or_default();
    let own = tx.rulebook_named(&Edition::read(&home)).await?;
    let mut draft = JobDraft {
        rulebook: own.map_or(home, |own| own.rulebook.edition().to_string()),
        ..JobDraft::default()
    };
    let mut why = String::new();
    if let Some(book) = rulebook(&draft.rulebook) {
        let filter = ModelFilter::default();
        let models = tx
            .models(&filter, None, MOST_MODELS)
            .await
            .map_err(of_list)?;
        let suited = book.suited(&models.rows);
        suited.book.key().clone_into(&mut draft.rulebook);
        why = suited.why;
    }
    let mut choices = choices(&mut tx, &draft.rig, &draft.rulebook).await?;
    choices.why = why;
    let nothing = FieldErrors::default();
    Ok(Page(form(&signed, JobId::new(), draft, choices, &nothing)))
}

/// What may be chosen, the rig and the rulebook that are chosen already among it.
pub(in crate::web) async fn choices(
    tx: &mut Tx,
    rig: &str,
    rulebook: &str,
) -> Result<PlanChoices, Problem> {
    let own = tx.rigs().await?.into_iter();
    let own = own.filter(|kept| !kept.withdrawn).map(|kept| kept.rig);
    let own: Vec<OwnRig> = own.collect();
    let rulebooks = deed::rulebook::offered(tx.rulebooks().await?);
    let which = WhichRulebook::new(&rulebooks);
    let rulebooks = job_choices(&rulebooks, rulebook);
    Ok(PlanChoices::new(&own, rig, (rulebooks, which)).with_stores(&tx.stores().await?))
}

fn form(
    signed: &Signed,
    id: JobId,
    draft: JobDraft,
    choices: PlanChoices,
    wrong: &FieldErrors,
) -> JobForm {
    JobForm {
        shell: shell(signed, "Plan a job"),
        form: FormView::new(wrong),
        draft,
        choices,
        back: String::new(),
        action: format!("/jobs?id={id}"),
        button: "Plan the job",
        stale: None,
        opens_catch: false,
    }
}

/// Plans a job.
pub(in crate::web) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(new): Query<FormId>,
    Form(draft): Form<JobDraft>,
) -> Result<Response, Problem> {
    let id = JobId(new.id());
    let done = deed::job::plan(&app.desk, &signed.actor, id, &draft, &signed.zone).await;
    answer(
        done,
        |job| {
            Done::to(format!("/jobs/{}", job.id)).saying("The job is planned. Now choose its kit.")
        },
        async |wrong| {
            let mut tx = app.desk.database.read(signed.actor.team).await?;
            let choices = choices(&mut tx, &draft.rig, &draft.rulebook).await?;
            Ok(form(&signed, id, draft, choices, &wrong))
        },
    )
    .await
}

fn edit_form(
    signed: &Signed,
    job: &Job,
    draft: JobDraft,
    choices: PlanChoices,
    wrong: &FieldErrors,
) -> JobForm {
    JobForm {
        shell: shell(signed, &format!("Change the plan: {}", job.title)),
        form: FormView::new(wrong),
        draft,
        choices,
        back: format!("/jobs/{}", job.id),
        action: format!("/jobs/{}/edit?revision={}", job.id, job.revision),
        button: "Save the plan",
        stale: None,
        opens_catch: false,
    }
}

/// What the form of a plan is opened with instead of what is planned.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Preset {
    rig: String,
    /// The part that stands open: `catch`.
    part: String,
}

/// The plan of a job, to be changed; nothing is saved by opening it with another rig.
pub(in crate::web) async fn page_edit(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(preset): Query<Preset>,
) -> Result<Page<JobForm>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let job = job(&mut tx, id).await?;
    let mut draft = job.draft(&signed.zone);
    let offered = choices(&mut tx, &job.rig, &job.rulebook).await?;
    if offered.rigs.iter().any(|(key, _)| *key == preset.rig) && !preset.rig.is_empty() {
        draft.rig.clone_from(&preset.rig);
    }
    let choices = offered;
    let nothing = FieldErrors::default();
    let form = edit_form(&signed, &job, draft, choices, &nothing);
    Ok(Page(JobForm {
        opens_catch: preset.part == "catch",
        ..form
    }))
}

async fn job(tx: &mut Tx, id: JobId) -> Result<Job, Problem> {
    tx.job(id).await?.ok_or(Problem::NotFound("job"))
}

/// The revision that a change is made to.
#[derive(Debug, Deserialize)]
pub(in crate::web) struct Changed {
    revision: u32,
}

/// Changes the plan.
pub(in crate::web) async fn page_change(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(changed): Query<Changed>,
    Form(draft): Form<JobDraft>,
) -> Result<Response, Problem> {
    let (desk, actor, zone) = (&app.desk, &signed.actor, &signed.zone);
    match deed::job::revise(
        desk,
        actor,
        id,
        Seen::Version(changed.revision),
        &draft,
        zone,
    )
    .await
    {
        Ok(job) => Ok(Done::to(format!("/jobs/{}", job.id))
            .saying("The plan is changed.")
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let mut tx = app.desk.database.read(actor.team).await?;
            let job = Job {
                revision: changed.revision,
                ..job(&mut tx, id).await?
            };
            let choices = choices(&mut tx, &job.rig, &job.rulebook).await?;
            Ok(Page::wrong(edit_form(
                &signed, &job, draft, choices, &wrong,
            )))
        }
        Err(DeedError::Stale(wrong)) => {
            let mut tx = app.desk.database.read(actor.team).await?;
            let job = job(&mut tx, id).await?;
            let now = job.draft(&signed.zone);
            let choices = choices(&mut tx, &job.rig, &job.rulebook).await?;
            let form = edit_form(&signed, &job, draft, choices, &wrong).beside(&now);
            Ok(Page::again(axum::http::StatusCode::CONFLICT, form))
        }
        // It was issued or ended meanwhile: what was typed stays, beside why it is not saved.
        Err(DeedError::NotAllowed(why)) => {
            let mut tx = app.desk.database.read(actor.team).await?;
            let job = Job {
                revision: changed.revision,
                ..job(&mut tx, id).await?
            };
            let choices = choices(&mut tx, &job.rig, &job.rulebook).await?;
            let words = format!("{why} Nothing of this was saved; what you typed stands here.");
            let wrong = FieldErrors::one("title", "not-allowed", words);
            let form = edit_form(&signed, &job, draft, choices, &wrong);
            Ok(Page::again(axum::http::StatusCode::CONFLICT, form))
        }
        Err(other) => Err(other.into()),
    }
}

/// Closes a job or calls it off.
pub(in crate::web) async fn page_end(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Form(draft): Form<JobEndDraft>,
) -> Result<Response, Problem> {
    match deed::job::end(&app.desk, &signed.actor, id, &draft).await {
        Ok(job) => {
            let words = format!("The job is {}; its items are free.", job.state.key());
            Ok(Done::to(format!("/jobs/{id}"))
                .saying(words)
                .into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            super::kit::again(&app, &signed, id, "reason", &draft.reason, &wrong).await
        }
        Err(other) => Err(other.into()),
    }
}
