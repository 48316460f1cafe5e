//! What an item, a job or a store was on a day in the past: a page of one table.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Page, Path, Problem, Query, Signed,
    export::offered,
    listed::{ROWS, cursor, pager},
    question::of_deed,
};
use crate::{
    deed::{
        DeedError,
        then::{self, Past},
    },
    domain::{FieldErrors, ItemId, JobId, StoreId},
    store::Cursor,
    view::{
        Section, Shell,
        part::Pager,
        then::{Of, Shown, ThenSheet},
    },
};

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
    record: (&str, &str),
    past: Result<Past, DeedError>,
) -> Result<Response, Problem> {
    let base = of.base.clone();
    match past {
        Ok(past) => {
            let pairs = [("on", asked.on.as_str())];
            let file = offered("then", &[record, pairs[0]]);
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
    page(shell, (of, &asked), ("item", &id.to_string()), past)
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
    page(shell, (of, &asked), ("job", &id.to_string()), past)
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
    page(shell, (of, &asked), ("store", &id.to_string()), past)
}
