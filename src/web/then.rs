//! What an item, a job or a store was on a day in the past: a page, a file and an answer for programs, of one table.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Page, Path, Problem, Query, Signed,
    listed::{ROWS, address, cursor, pager},
    question::of_deed,
    trend::csv,
};
use crate::{
    deed::{
        DeedError, permit,
        then::{self, Past},
    },
    domain::{Deed, FieldErrors, ItemId, JobId, StoreId},
    export,
    store::Cursor,
    view::{
        Section, Shell,
        part::Pager,
        then::{Of, Shown, ThenSheet},
    },
};

/// A file of a place has all of its rows.
const ALL: u32 = u32::MAX - 1;

/// What stands behind the question mark.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedDay {
    pub on: String,
    pub after: String,
}

/// What was found, or the form again with what does not hold.
fn page(
    shell: Shell,
    (of, asked): (Of, &AskedDay),
    past: Result<Past, DeedError>,
) -> Result<Response, Problem> {
    let base = of.base.clone();
    match past {
        Ok(past) => {
            let pairs = [("on", asked.on.as_str())];
            let file = address(&format!("{base}.csv"), &pairs);
            let pager = around(&base, &pairs, &asked.after, past.next.as_ref());
            let nothing = FieldErrors::default();
            let shown = Shown {
                answer: &past.answer,
                why: &past.why,
                is_same: past.is_same,
                columns: past.columns,
                rows: &past.rows,
                file,
                pager,
            };
            let sheet = ThenSheet::new(shell, of, &asked.on, Some(shown), &nothing);
            Ok(Page(sheet).into_response())
        }
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(ThenSheet::new(
            shell, of, &asked.on, None, &wrong,
        ))),
        Err(other) => Err(of_deed(other)),
    }
}

fn around(base: &str, pairs: &[(&str, &str)], after: &str, next: Option<&Cursor>) -> Pager {
    pager(base, pairs, after, next, String::new())
}

/// The table as a file.
fn file(app: &App, signed: &Signed, past: &Past) -> Response {
    let mut bytes = export::question::beginning(past.columns);
    bytes.extend(export::question::rows(past.columns, &past.rows));
    csv(app, signed, &format!("as-it-was-on-{}", past.on), bytes)
}

/// An item.
pub(super) async fn page_item(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(asked): Query<AskedDay>,
) -> Result<Response, Problem> {
    let found = Box::pin(then::item(&app.desk, &signed.actor, id, &asked.on));
    let (item, past) = found.await?;
    let shell = signed.shell_in(Section::Items, format!("{} as it was", item.mark));
    let of = Of::new(format!("/items/{id}"), item.mark);
    page(shell, (of, &asked), past)
}

/// An item as a file.
pub(super) async fn file_item(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(asked): Query<AskedDay>,
) -> Result<Response, Problem> {
    permit(&signed.actor, Deed::Export)?;
    let found = Box::pin(then::item(&app.desk, &signed.actor, id, &asked.on));
    let (_, past) = found.await?;
    Ok(file(&app, &signed, &past?))
}

/// A job.
pub(super) async fn page_job(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<AskedDay>,
) -> Result<Response, Problem> {
    let found = Box::pin(then::job(&app.desk, &signed.actor, id, &asked.on));
    let (job, past) = found.await?;
    let shell = signed.shell_in(Section::Jobs, format!("{} as it was", job.title));
    let of = Of::new(format!("/jobs/{id}"), job.title);
    page(shell, (of, &asked), past)
}

/// A job as a file.
pub(super) async fn file_job(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<AskedDay>,
) -> Result<Response, Problem> {
    permit(&signed.actor, Deed::Export)?;
    let found = Box::pin(then::job(&app.desk, &signed.actor, id, &asked.on));
    let (_, past) = found.await?;
    Ok(file(&app, &signed, &past?))
}

/// A store.
pub(super) async fn page_store(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    Query(asked): Query<AskedDay>,
) -> Result<Response, Problem> {
    let after = cursor(&asked.after)?;
    let found = then::place(
        &app.desk,
        &signed.actor,
        (id, &asked.on),
        after.as_ref(),
        ROWS,
    );
    let (store, past) = Box::pin(found).await.map_err(of_deed)?;
    let shell = signed.shell_in(Section::Stores, format!("{} as it was", store.name));
    let of = Of::new(format!("/stores/{id}"), store.name);
    page(shell, (of, &asked), past)
}

/// A store as a file.
pub(super) async fn file_store(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    Query(asked): Query<AskedDay>,
) -> Result<Response, Problem> {
    permit(&signed.actor, Deed::Export)?;
    let found = then::place(&app.desk, &signed.actor, (id, &asked.on), None, ALL);
    let (_, past) = Box::pin(found).await.map_err(of_deed)?;
    Ok(file(&app, &signed, &past?))
}
