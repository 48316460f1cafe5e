//! A kit put together for a job, and taken in one go.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{first_sentence, may_plan, shell_at};
use crate::{
    deed::{
        self, DeedError,
        kit::{Added, Proposed, Source},
    },
    domain::{ItemRefused, JobId, KitLineDraft, KitLineId, StoreId},
    view::{
        job::{ProposalParts, ProposalSheet, RefusedRow, job_nav},
        part::{Cautions, Empty},
        words,
    },
    web::{App, Done, Form, Page, Path, Problem, Query, Signed},
};

/// Where items are taken from.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct From {
    store: String,
}

impl From {
    fn source(&self) -> Result<Source, Problem> {
        let store = Some(self.store.trim()).filter(|store| !store.is_empty());
        let read = |text: &str| {
            text.parse::<StoreId>()
                .map_err(|_| Problem::Unreadable("Choose a store from the list.".to_owned()))
        };
        Ok(Source {
            store: store.map(read).transpose()?,
        })
    }
}

/// A kit for the open positions.
pub(in crate::web) async fn page_propose(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(from): Query<From>,
) -> Result<Page<ProposalSheet>, Problem> {
    Ok(Page(sheet(&app, &signed, id, &from).await?))
}

async fn sheet(
    app: &App,
    signed: &Signed,
    id: JobId,
    from: &From,
) -> Result<ProposalSheet, Problem> {
    let proposed = deed::kit::propose(&app.desk, &signed.actor, id, from.source()?).await?;
    let Proposed { list, proposal, .. } = &proposed;
    let job = format!("/jobs/{id}");
    let here = match from.store.trim() {
        "" => format!("{job}/proposal"),
        store => format!("{job}/proposal?store={store}"),
    };
    let shell = shell_at(signed, &format!("Proposed kit: {}", list.job.title), &here);
    let parts = ProposalParts {
        rig: &list.rig,
        proposal,
        items: &proposed.items,
        stores: &proposed.stores,
        cut_off: &proposed.cut_off,
        job: job.clone(),
    };
    let all = (String::new(), "All stores".to_owned());
    let each = proposed.stores.iter();
    let each = each.map(|store| (store.id.to_string(), store.name.clone()));
    let is_filled = proposal.picks.is_empty() && proposal.missing.is_empty();
    let nothing = || {
        Empty::new(
            "Every position that must be filled has its item.",
            "Take an item off the list to have another proposed.",
        )
        .step("See the kit list", job.clone())
    };
    Ok(ProposalSheet {
        nav: job_nav(&list.job, ""),
        answer: parts.answer(),
        refused: Vec::new(),
        store: from.store.trim().to_owned(),
        stores: std::iter::once(all).chain(each).collect(),
        notes: parts.notes(),
        picks: parts.picks(|| KitLineId::new().to_string()),
        missing: parts.missing(&shell),
        nothing: is_filled.then(nothing),
        may_change: may_plan(signed) && list.job.may_change().is_ok(),
        cautions: Cautions::of_mechanics(),
        shell,
        job,
    })
}

/// The lines that were ticked, each as the line's id, the position's key and the item's id.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Taken {
    take: Vec<String>,
}

impl Taken {
    fn lines(&self) -> Result<Vec<(KitLineId, KitLineDraft)>, Problem> {
        let read = |text: &String| {
            let mut parts = text.splitn(3, '/');
            let line = parts.next()?.parse().ok()?;
            let position = parts.next()?.to_owned();
            let item = parts.next()?.to_owned();
            Some((line, KitLineDraft { item, position }))
        };
        let lines: Option<Vec<_>> = self.take.iter().map(read).collect();
        lines.ok_or_else(|| {
            Problem::Unreadable(
                "What was ticked cannot be read; open the proposed kit again.".to_owned(),
            )
        })
    }
}

/// Puts what was ticked on the list, all or nothing.
pub(in crate::web) async fn page_take(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Form(taken): Form<Taken>,
) -> Result<Response, Problem> {
    let lines = taken.lines()?;
    if lines.is_empty() {
        return Err(Problem::Unreadable(
            "Nothing was ticked; tick at least one item of the kit.".to_owned(),
        ));
    }
    match deed::kit::add_all(&app.desk, &signed.actor, id, &lines).await {
        Ok(Added::All(lines)) => {
            let items = words::count(lines.len(), "item is", "items are");
            Ok(Done::to(format!("/jobs/{id}/verdict"))
                .saying(format!("{items} on the kit list."))
                .into_response())
        }
        Ok(Added::Refused(refused)) => again(&app, &signed, id, &refused).await,
        Err(DeedError::Invalid(wrong)) => Err(Problem::Unreadable(first_sentence(&wrong))),
        Err(other) => Err(other.into()),
    }
}

/// What may not go any more, and a kit without it.
async fn again(
    app: &App,
    signed: &Signed,
    id: JobId,
    refused: &[ItemRefused],
) -> Result<Response, Problem> {
    let mut sheet = sheet(app, signed, id, &From::default()).await?;
    let ids: Vec<_> = refused.iter().map(|one| one.item).collect();
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let items = tx.items_of(&ids).await?;
    let row = |one: &ItemRefused| {
        let mark = items.get(&one.item).map(|item| item.mark.clone());
        RefusedRow::of(one, mark.unwrap_or_default(), &sheet.shell)
    };
    sheet.refused = refused.iter().map(row).collect();
    Ok(Page::again(StatusCode::CONFLICT, sheet))
}
