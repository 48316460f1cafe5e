//! Logging use of an item.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use super::{App, Done, Page, Path, Problem, Query, Signed, listed::FormId, typed::Typed};
use crate::{
    deed::{self, DeedError},
    domain::{FieldErrors, ItemId, UsageDraft, UsageId, date::write_day},
    view::{Section, usage::NewUsage},
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
    let draft = UsageDraft {
        on: write_day(signed.today(&app)),
        by: signed.actor.person.to_string(),
        ..UsageDraft::default()
    };
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
    match deed::usage::log(&app.desk, &signed.actor, item, id, &draft).await {
        Ok(usage) => Ok(Done::to(format!("/items/{item}"))
            .saying(format!("Logged: {}.", usage.amount.words()))
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let view = form((&app, &signed), item, id, &draft, &wrong).await?;
            Ok(Page::wrong(view))
        }
        Err(other) => Err(other.into()),
    }
}
