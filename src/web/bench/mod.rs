//! The bench: many items looked at one after another. A scan opens the sheet of an item, its verdict records it, and
//! the next is scanned.

mod asked;
mod page;

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use uuid::Uuid;

use super::{
    App, Done, Page, Problem, Query, Signed,
    examination::{beside, said},
    page::answer,
    typed::Typed,
};
use crate::{
    deed,
    domain::{ExaminationDraft, ExaminationId, FieldErrors, Verdict},
    view::bench::Sheets,
};

pub(super) use asked::Asked;
use page::{Asking, Opened};

/// The bench.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    let asking = Asking {
        app: &app,
        signed: &signed,
        asked: &asked,
    };
    let page = asking
        .page(&ExaminationDraft::default(), FieldErrors::default())
        .await?;
    Ok(if page.is_wrong() {
        Page::wrong(page)
    } else {
        Page(page).into_response()
    })
}

/// Records what the open sheet says and leads back to the scan, or gives the sheet back.
pub(super) async fn page_record(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
    typed: Typed,
) -> Result<Response, Problem> {
    let asking = Asking {
        app: &app,
        signed: &signed,
        asked: &asked,
    };
    let item = asked.item.ok_or(Problem::NotFound("item"))?;
    let mut draft: ExaminationDraft = typed.draft()?;
    let sitting = asking.sitting();
    draft.kind.clone_from(&sitting.look);
    draft.on.clone_from(&sitting.on);
    draft.examiner.clone_from(&sitting.examiner);
    draft.place.clone_from(&sitting.place);
    if Verdict::from_key(&draft.verdict) == Some(Verdict::Fit) {
        // The button says so.
        "pass".clone_into(&mut draft.rest);
    }
    let id = ExaminationId(asked.id.unwrap_or_else(Uuid::now_v7));
    let done = deed::examination::record(&app.desk, &signed.actor, item, id, &draft).await;
    let mark = match &done {
        Ok(_) => {
            let mut tx = app.desk.database.read(signed.actor.team).await?;
            tx.item(item).await?.map(|item| item.mark)
        }
        Err(_) => None,
    };
    let beside = beside((&app, &signed), done.as_ref().ok()).await?;
    answer(
        done,
        |done| {
            let words = format!("{}: {}", mark.unwrap_or_default(), said(&done, &beside));
            let recorded = done.id.to_string();
            Done::to(asking.at(&sitting, &[("recorded", &recorded)])).saying(words)
        },
        async |wrong| asking.page(&draft, wrong).await,
    )
    .await
}

/// The sheets of a list, of an item or of what a code leads to, for a page that keeps them.
pub(super) async fn page_sheets(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Page<Sheets>, Problem> {
    let asking = Asking {
        app: &app,
        signed: &signed,
        asked: &asked,
    };
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let around = deed::bench::around(&mut tx).await?;
    let mut wrong = FieldErrors::default();
    let (list, laid) = match asking.opened(&mut tx, &mut wrong).await? {
        _ if !wrong.is_empty() => return Err(wrong.into()),
        Opened::Item(item) => (None, deed::bench::lay(&mut tx, vec![*item]).await?),
        Opened::Several(items) => (None, deed::bench::lay(&mut tx, items).await?),
        Opened::Unknown(answer) => return Err(Problem::NotAllowed(answer.words)),
        Opened::Nothing => {
            let list = asking.list(&mut tx, &around).await?;
            list.map_or((None, Vec::new()), |(list, laid)| (Some(list), laid))
        }
    };
    let (draft, fine) = (ExaminationDraft::default(), FieldErrors::default());
    let mut sheets = Vec::with_capacity(laid.len());
    for laid in &laid {
        let of = (&around, laid);
        sheets.push(asking.sheet(&mut tx, of, &draft, &fine).await?);
    }
    Ok(Page(Sheets { list, sheets }))
}
