//! Logging use of an item.

use axum::{extract::State, response::Response};

use super::{
    App, Done, Page, Path, Problem, Query, Signed, listed::FormId, page::answer, typed::Typed,
};
use crate::{
    deed,
    domain::{FieldErrors, ItemId, JobId, UsageDraft, UsageId, date::write_day},
    view::{Section, usage::NewUsage, words},
};

/// Among how many jobs one chooses.
const JOBS: u32 = 20;

async fn form(
    (app, signed): (&App, &Signed),
    item: ItemId,
    id: UsageId,
    draft: &UsageDraft,
    wrong: &FieldErrors,
) -> Result<NewUsage, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(item).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx.model(item.model).await?;
    let model = model.ok_or(Problem::NotFound("model"))?;
    let (jobs, people) = (tx.jobs_with(item.id, JOBS).await?, tx.people().await?);
    let shell = signed.shell_in(Section::Items, format!("Log use of {}", item.mark));
    let about = (&item, &model);
    Ok(NewUsage::new(
        shell,
        id,
        about,
        (&jobs, &people),
        draft,
        wrong,
    ))
}

/// The form.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
) -> Result<Page<NewUsage>, Problem> {
    let draft = begun(&app, &signed);
    let nothing = FieldErrors::default();
    form((&app, &signed), item, UsageId::new(), &draft, &nothing)
        .await
        .map(Page)
}

/// Logs the use.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: UsageDraft = typed.draft()?;
    let id = UsageId(asked.id());
    let done = deed::usage::log(&app.desk, &signed.actor, item, id, &draft).await;
    answer(
        done,
        |usage| {
            let words = format!("Logged: {}.", usage.amount.words());
            Done::to(format!("/items/{item}")).saying(words)
        },
        async |wrong| form((&app, &signed), item, id, &draft, &wrong).await,
    )
    .await
}

async fn form_of_job(
    (app, signed): (&App, &Signed),
    job: JobId,
    id: UsageId,
    draft: &UsageDraft,
    wrong: &FieldErrors,
) -> Result<NewUsage, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let job = tx.job(job).await?.ok_or(Problem::NotFound("job"))?;
    let people = tx.people().await?;
    let shell = signed.shell_in(
        Section::Jobs,
        format!("Log use of the kit of {}", job.title),
    );
    Ok(NewUsage::of_job(shell, id, &job, &people, draft, wrong))
}

/// The form for the whole kit of a job.
pub(super) async fn page_new_of_job(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
) -> Result<Page<NewUsage>, Problem> {
    let draft = begun(&app, &signed);
    let nothing = FieldErrors::default();
    form_of_job((&app, &signed), job, UsageId::new(), &draft, &nothing)
        .await
        .map(Page)
}

/// Logs the use of the whole kit of a job.
pub(super) async fn page_create_of_job(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
    Query(asked): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: UsageDraft = typed.draft()?;
    let id = UsageId(asked.id());
    let done = deed::usage::log_of_job(&app.desk, &signed.actor, job, id, &draft).await;
    answer(
        done,
        |items| {
            let words = format!("Logged for {}.", words::count(items, "item", "items"));
            Done::to(format!("/jobs/{job}")).saying(words)
        },
        async |wrong| form_of_job((&app, &signed), job, id, &draft, &wrong).await,
    )
    .await
}

/// What a form begins with.
fn begun(app: &App, signed: &Signed) -> UsageDraft {
    UsageDraft {
        on: write_day(signed.today(app)),
        by: signed.actor.person.to_string(),
        ..UsageDraft::default()
    }
}
