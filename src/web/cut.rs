//! Cutting a rope into pieces.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use super::{
    App, Done, Page, Path, Problem, Query, Signed, listed::FormId, page::answer, typed::Typed,
};
use crate::{
    deed,
    domain::{CutDraft, CutId, FieldErrors, Item, ItemId, PieceDraft},
    view::{
        Section,
        cut::{NewCut, with_room},
        words,
    },
};

fn form(signed: &Signed, rope: &Item, id: CutId, draft: CutDraft, wrong: &FieldErrors) -> NewCut {
    let shell = signed.shell_in(Section::Items, format!("Cut {}", rope.mark));
    NewCut::new(shell, id, rope, &with_room(draft), wrong)
}

/// The form. Where the rope may not be cut it says so at once.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
) -> Result<Page<NewCut>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let rope = tx.item(item).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx.model(rope.model).await?;
    let model = model.ok_or(Problem::NotFound("model"))?;
    deed::cut::open(&mut tx, &rope, &model).await?;
    let nothing = FieldErrors::default();
    let draft = CutDraft::default();
    Ok(Page(form(&signed, &rope, CutId::new(), draft, &nothing)))
}

/// Cuts the rope, or gives the form back with one piece more.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<FormId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let more = typed.take("more").is_some();
    let mut draft: CutDraft = typed.draft()?;
    let id = CutId(asked.id());
    let rope = async || {
        let mut tx = app.desk.database.read(signed.actor.team).await?;
        tx.item(item).await?.ok_or(Problem::NotFound("item"))
    };
    if more {
        draft.pieces.push(PieceDraft::default());
        let nothing = FieldErrors::default();
        return Ok(Page(form(&signed, &rope().await?, id, draft, &nothing)).into_response());
    }
    let done = deed::cut::cut(&app.desk, &signed.actor, item, id, &draft).await;
    answer(
        done,
        |done| {
            let pieces = words::count(done.pieces.len(), "piece", "pieces");
            let words = format!("{} was cut into {pieces}.", done.rope.mark);
            Done::to(format!("/items/{item}")).saying(words)
        },
        async |wrong| Ok(form(&signed, &rope().await?, id, draft, &wrong)),
    )
    .await
}
