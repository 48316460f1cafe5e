//! The same kit with the job planned otherwise, beside the plan.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use super::{plan::choices, shell};
use crate::{
    deed::{self, DeedError},
    domain::{
        JobId,
        kit_strength::{Extent, WhatIf},
    },
    view::{form::Form as FormView, job::WhatIfSheet},
    web::{App, Page, Path, Problem, Query, Signed},
};

/// The plan beside what is asked; the plan alone as long as nothing is.
pub(in crate::web) async fn page_what_if(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<WhatIf>,
) -> Result<Response, Problem> {
    let list = deed::kit::show(&app.desk, &signed.actor, id, Extent::Answer).await?;
    let shell = shell(&signed, &format!("What if: {}", list.job.title));
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let choices = choices(&mut tx, &asked.rig, "").await?;
    drop(tx);
    let mut sheet = WhatIfSheet::new(shell, &list, choices, &asked);
    if asked.is_blank() {
        return Ok(Page(sheet).into_response());
    }
    let changes = (&asked, &signed.zone);
    let found =
        deed::kit::otherwise(&app.desk, &signed.actor, &list, changes, Extent::Answer).await;
    match found {
        Ok(otherwise) => {
            sheet.beside(&otherwise);
            Ok(Page(sheet).into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            sheet.form = FormView::new(&wrong);
            Ok(Page::wrong(sheet))
        }
        Err(other) => Err(other.into()),
    }
}
