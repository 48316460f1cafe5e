//! Reporting what happened to an item.

use axum::{extract::State, response::Response};

use super::{
    App, Done, Page, Path, Problem, Query, Signed, listed::FormId, page::answer, typed::Typed,
};
use crate::{
    deed,
    domain::{AttachedTo, Event, EventDraft, EventId, FieldErrors, ItemId, date::write_day},
    view::{Section, attachment::add_href, event::NewEvent},
};

async fn form(
    (app, signed): (&App, &Signed),
    item: ItemId,
    id: EventId,
    draft: &EventDraft,
    wrong: &FieldErrors,
) -> Result<NewEvent, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(item).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx.model(item.model).await?;
    let model = model.ok_or(Problem::NotFound("model"))?;
    let shell = signed.shell_in(Section::Items, "Report what happened");
    Ok(NewEvent::new(shell, id, (&item, &model), draft, wrong))
}

/// The form.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
) -> Result<Page<NewEvent>, Problem> {
    let draft = EventDraft {
        on: write_day(signed.today(&app)),
        ..EventDraft::default()
    };
    let id = EventId::new();
    let nothing = FieldErrors::default();
    form((&app, &signed), item, id, &draft, &nothing)
        .await
        .map(Page)
}

/// Reports what happened.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<FormId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let photos = typed.take("act").as_deref() == Some("photos");
    let draft: EventDraft = typed.draft()?;
    let id = EventId(asked.id());
    let done = deed::examination::report_event(&app.desk, &signed.actor, item, id, &draft).await;
    answer(
        done,
        |event| {
            let to = AttachedTo::Event {
                item,
                event: event.id,
            };
            let next = if photos {
                add_href(to)
            } else {
                format!("/items/{item}")
            };
            Done::to(next).saying(said(&event))
        },
        async |wrong| form((&app, &signed), item, id, &draft, &wrong).await,
    )
    .await
}

/// What was reported, and what followed.
fn said(event: &Event) -> String {
    let follows = event.follows.as_ref();
    let follows = follows.map(|follows| format!(" It {}.", follows.outcome.word()));
    format!(
        "Reported: it {}.{}",
        event.kind.word(),
        follows.unwrap_or_default()
    )
}
