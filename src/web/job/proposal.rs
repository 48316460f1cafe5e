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
        kit::{Added, Filled, FilledRigs, Proposed, Put, Source},
    },
    domain::{ItemRefused, Job, JobId, KitLineDraft, KitLineId, StoreId, proposal::Proposal},
    view::{
        Shell,
        item::ItemList,
        job::{OtherRig, ProposalParts, ProposalSheet, RefusedRow, job_nav},
        part::{Cautions, Empty},
        words,
    },
    web::{App, Done, Form, Page, Path, Problem, Query, Signed, listed::address},
};

/// Where items are taken from.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct From {
    store: String,
    /// Another rig than the planned one, to look at.
    rig: String,
}

impl From {
    fn query(&self) -> [(&'static str, &str); 2] {
        [("store", self.store.trim()), ("rig", self.rig.trim())]
    }

    /// The page of the kit that is proposed from there.
    pub(super) fn proposal_of(&self, id: JobId) -> String {
        address(&format!("/jobs/{id}/proposal"), &self.query())
    }

    /// The form that plans the job with its rig.
    fn plan_of(&self, job: &str) -> String {
        address(&format!("{job}/edit"), &[("rig", self.rig.trim())])
    }

    /// The form for what records lack for it.
    pub(super) fn facts_of(&self, id: JobId) -> String {
        address(&format!("/jobs/{id}/proposal/facts"), &self.query())
    }
}

/// What a kit is put together from.
fn source_of(from: &From) -> Result<Source, Problem> {
    let said = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let read = |text: String| {
        text.parse::<StoreId>()
            .map_err(|_| Problem::Unreadable("Choose a store from the list.".to_owned()))
    };
    Ok(Source {
        store: said(&from.store).map(read).transpose()?,
        rig: said(&from.rig),
    })
}

/// Proposes a kit; where the plan does not hold with another rig, says why.
pub(super) async fn proposed(
    app: &App,
    signed: &Signed,
    id: JobId,
    from: &From,
) -> Result<Proposed, Problem> {
    match deed::kit::propose(&app.desk, &signed.actor, id, source_of(from)?).await {
        Err(DeedError::Invalid(wrong)) if !from.rig.trim().is_empty() => {
            Err(Problem::Unreadable(first_sentence(&wrong)))
        }
        other => Ok(other?),
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
    let proposed = proposed(app, signed, id, from).await?;
    let Proposed { list, proposal, .. } = &proposed;
    let job = format!("/jobs/{id}");
    let is_otherwise = !from.rig.trim().is_empty();
    let others = if proposal.missing.is_empty() || is_otherwise {
        FilledRigs::default()
    } else {
        deed::kit::filled_rigs(&app.desk, &signed.actor, id).await?
    };
    let shell = shell_of(signed, &list.job, from);
    let first = first_from(&proposed);
    let parts = ProposalParts {
        rig: &list.rig,
        proposal,
        refused: &proposed.refused,
        items: &proposed.items,
        stores: &proposed.stores,
        cut_off: &proposed.cut_off,
        first: first.clone(),
        job: job.clone(),
    };
    let noted = parts.noted();
    Ok(ProposalSheet {
        nav: job_nav(&list.job, ""),
        answer: parts.answer(shell.units),
        refused: Vec::new(),
        gone: Vec::new(),
        store: from.store.trim().to_owned(),
        stores: ItemList::stores(&proposed.stores),
        notes: parts.notes(),
        picks: parts.picks(&noted, || KitLineId::new().to_string(), shell.units),
        noted,
        rest: parts.rest(shell.units),
        open: stays(&proposed).chain(parts.open(shell.units)).collect(),
        missing: parts.missing(&shell),
        not_going: parts.not_going(),
        nothing: nothing_open(proposal, &job),
        facts: facts(proposal, from.facts_of(id)),
        otherwise: is_otherwise.then(|| {
            let edit = may_plan(signed).then(|| from.plan_of(&job));
            (list.rig_words(), edit)
        }),
        other_rigs: other_rigs(&others.rigs, &job),
        unbelayed: other_rigs(&others.unbelayed, &job),
        unfilled: unfilled(&others, &job),
        unasked: others.unasked,
        rig_asked: from.rig.trim().to_owned(),
        first,
        may_change: may_plan(signed) && list.job.may_change().is_ok() && !is_otherwise,
        cautions: Cautions::of_mechanics(),
        shell,
        job,
    })
}

fn shell_of(signed: &Signed, job: &Job, from: &From) -> Shell {
    let title = format!("Proposed kit: {}", job.title);
    shell_at(signed, &title, &from.proposal_of(job.id))
}

/// The store that the job takes from first, by name.
fn first_from(proposed: &Proposed) -> Option<String> {
    let mut stores = proposed.stores.iter();
    let first = stores.find(|store| Some(store.id) == proposed.list.job.first_from);
    first.map(|store| store.name.clone())
}

/// What stays though it was refused, and why.
fn stays(proposed: &Proposed) -> impl Iterator<Item = String> {
    let rig = &proposed.list.rig;
    proposed.stays.iter().map(|entry| {
        let place = entry.line.position.as_deref();
        let place = place.and_then(|key| rig.position(key));
        format!(
            "{} stays at \"{}\": it and what is on the list do not take each other, and it is enough that one of the two goes.",
            entry.item.mark,
            place.map_or("Spare", |place| place.title()),
        )
    })
}

/// That no position is open, where that is so.
fn nothing_open(proposal: &Proposal, job: &str) -> Option<Empty> {
    let is_filled =
        proposal.picks.is_empty() && proposal.missing.is_empty() && proposal.unworn.is_empty();
    is_filled.then(|| {
        Empty::new(
            "Every position that must be filled has its item.",
            "Take an item off the list to have another proposed.",
        )
        .step("See the kit list", job)
    })
}

/// The rigs that the register fills now, each with the way to its kit.
fn other_rigs(rigs: &[Filled], job: &str) -> Vec<OtherRig> {
    rigs.iter()
        .map(|one| {
            let href = address(&format!("{job}/proposal"), &[("rig", &one.edition)]);
            OtherRig::new(&one.title, &one.belay, one.items, href)
        })
        .collect()
}

/// The rigs that the register does not fill, each with why.
fn unfilled(others: &FilledRigs, job: &str) -> Vec<OtherRig> {
    let rigs = others.unfilled.iter();
    rigs.map(|one| {
        let href = address(&format!("{job}/proposal"), &[("rig", &one.edition)]);
        OtherRig::not(&one.title, &one.why, href)
    })
    .collect()
}

/// That facts of models are missing, and the form for them.
fn facts(proposal: &Proposal, form: String) -> Option<(String, String)> {
    let models = proposal.lacking.len();
    (models > 0).then(|| {
        let (of, its) = match models {
            1 => ("1 model".to_owned(), "its"),
            n => (format!("{n} models"), "their"),
        };
        let words = format!(
            "Facts of {of} are not on record; until they are, none of {its} items can go at the open positions."
        );
        (words, form)
    })
}

/// The lines that were ticked, each as the line's id, the position's key and the item's id, and behind them the line of what
/// it takes the place of, if it does.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Taken {
    take: Vec<String>,
}

impl Taken {
    fn lines(&self) -> Result<Vec<Put>, Problem> {
        let read = |text: &String| {
            let mut parts = text.splitn(4, '/');
            let line = parts.next()?.parse().ok()?;
            let position = parts.next()?.to_owned();
            let item = parts.next()?.to_owned();
            let instead_of = parts.next().map(str::parse).transpose().ok()?;
            Some(Put {
                line,
                draft: KitLineDraft { item, position },
                instead_of,
            })
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
        Err(DeedError::Overtaken(sentences)) => overtaken(&app, &signed, id, sentences).await,
        Err(DeedError::Invalid(wrong)) => Err(Problem::Unreadable(first_sentence(&wrong))),
        Err(other) => Err(other.into()),
    }
}

/// That the list is another by now than what was sent takes it for, and a kit for it as it is.
pub(super) async fn overtaken(
    app: &App,
    signed: &Signed,
    id: JobId,
    gone: Vec<String>,
) -> Result<Response, Problem> {
    let sheet = sheet(app, signed, id, &From::default()).await?;
    Ok(Page::again(
        StatusCode::CONFLICT,
        ProposalSheet { gone, ..sheet },
    ))
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
