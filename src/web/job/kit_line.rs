//! The lines of a kit list: putting an item on, one in another's place, taking one off.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    first_sentence,
    kit::{SPARE, Wanted, again, position_sheet},
    proposal::overtaken,
};
use crate::{
    deed::{self, DeedError},
    domain::{JobId, KitLineDraft, KitLineId, Refusal, kit_strength::Extent},
    view::{
        part::{Answer, Tone},
        reason::Reason,
        words,
    },
    web::{App, Done, Form, Page, Path, Problem, Query, Signed, listed::FormId},
};

/// An item for the list, as typed or scanned.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Put {
    item: String,
    position: String,
    /// The position that the page offered; where it was left so nobody chose one.
    offered: Option<String>,
}

/// Puts an item on the list. Where nobody chose a position it goes where it may.
pub(in crate::web) async fn page_add(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(new): Query<FormId>,
    Form(put): Form<Put>,
) -> Result<Response, Problem> {
    let line = KitLineId(new.id());
    let (desk, actor) = (&app.desk, &signed.actor);
    // Where every position is filled a spare is offered, and meant.
    let nobody_chose = !put.position.is_empty() && put.offered.as_ref() == Some(&put.position);
    let mut draft = KitLineDraft {
        item: put.item,
        position: put.position,
    };
    // What cannot be found has no place of its own: it is told below.
    if nobody_chose && let Ok(place) = deed::kit::place_for(desk, actor, id, &draft).await {
        draft.position = place;
    }
    match deed::kit::add(desk, actor, id, line, &draft).await {
        Ok(line) => Ok(Done::to(format!("/jobs/{id}?put={}", line.id))
            .saying("The item is on the list.")
            .into_response()),
        Err(DeedError::Refused(reasons)) => refused(&app, &signed, id, &draft, &reasons).await,
        Err(DeedError::Invalid(wrong)) => {
            again(&app, &signed, id, "item", &draft.item, &wrong).await
        }
        Err(DeedError::Overtaken(sentences)) => overtaken(&app, &signed, id, sentences).await,
        Err(other) => Err(other.into()),
    }
}

/// The item that is put in another's place.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Swap {
    item: String,
}

/// Puts an item in the place of one that may not go.
pub(in crate::web) async fn page_swap(
    State(app): State<App>,
    signed: Signed,
    Path((id, line)): Path<(JobId, KitLineId)>,
    Query(new): Query<FormId>,
    Form(swap): Form<Swap>,
) -> Result<Response, Problem> {
    let (desk, actor) = (&app.desk, &signed.actor);
    let new = (KitLineId(new.id()), swap.item.as_str());
    match deed::kit::swap(desk, actor, (id, line), new).await {
        Ok(_) => Ok(Done::to(format!("/jobs/{id}"))
            .saying("The other item is on the list in its place.")
            .into_response()),
        Err(DeedError::Refused(reasons)) => {
            let mut tx = desk.database.read(actor.team).await?;
            let there = tx.kit_line(line).await?;
            drop(tx);
            let draft = KitLineDraft {
                item: swap.item,
                position: there.and_then(|line| line.position).unwrap_or_default(),
            };
            refused(&app, &signed, id, &draft, &reasons).await
        }
        Err(DeedError::Invalid(wrong)) => {
            again(&app, &signed, id, "item", &swap.item, &wrong).await
        }
        Err(DeedError::Overtaken(sentences)) => overtaken(&app, &signed, id, sentences).await,
        Err(other) => Err(other.into()),
    }
}

/// Every reason at once, with what else might go there below them.
async fn refused(
    app: &App,
    signed: &Signed,
    id: JobId,
    draft: &KitLineDraft,
    reasons: &[Refusal],
) -> Result<Response, Problem> {
    let list = deed::kit::show(&app.desk, &signed.actor, id, Extent::Answer).await?;
    let key = Some(draft.position.trim())
        .filter(|key| list.rig.position(key).is_some())
        .unwrap_or(SPARE);
    let mut sheet = position_sheet(app, signed, &list, key, &Wanted::default()).await?;
    let mark = marked(app, signed, &draft.item).await?;
    let words = format!(
        "{mark} is refused: {}",
        words::count(reasons.len(), "reason", "reasons")
    );
    let answer = Answer::new(Tone::Stop, words)
        .why("There is no override: mend the record, or take another item. The attempt is kept in the history.");
    sheet.refused = Some((answer, Reason::all(reasons, &sheet.shell)));
    Ok(Page::again(StatusCode::CONFLICT, sheet))
}

/// The mark of what was typed or chosen.
async fn marked(app: &App, signed: &Signed, text: &str) -> Result<String, Problem> {
    let Ok(id) = text.trim().parse() else {
        return Ok(text.trim().to_owned());
    };
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    Ok(tx
        .item(id)
        .await?
        .map_or_else(|| text.trim().to_owned(), |item| item.mark))
}

/// Why a line is taken off; may be empty.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Removal {
    reason: String,
}

/// Takes an item off the list.
pub(in crate::web) async fn page_remove(
    State(app): State<App>,
    signed: Signed,
    Path((id, line)): Path<(JobId, KitLineId)>,
    Form(removal): Form<Removal>,
) -> Result<Response, Problem> {
    match deed::kit::remove(&app.desk, &signed.actor, id, line, &removal.reason).await {
        Ok(_) => Ok(Done::to(format!("/jobs/{id}"))
            .saying("The item is off the list.")
            .into_response()),
        Err(DeedError::Overtaken(sentences)) => overtaken(&app, &signed, id, sentences).await,
        Err(DeedError::Invalid(wrong)) => Err(Problem::Unreadable(first_sentence(&wrong))),
        Err(other) => Err(other.into()),
    }
}
