//! All that the records of models lack for the open positions of a job, written down in one form.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{
    proposal::{From, proposed},
    shell,
};
use crate::{
    deed::{self, DeedError, Seen, kit::Proposed, model::Completed},
    domain::{
        Deed, FieldErrors, JobId, Model, ModelId, fact::Written, proposal::Lacking, unnested,
    },
    view::{
        form::Form as FormView,
        job::{Asked, FactsOf, FactsSheet, job_nav, source_of_all},
        part::Empty,
        words,
    },
    web::{App, Done, Form, Page, Path, Problem, Query, Signed},
};

/// How many models are asked for at once.
const AT_ONCE: usize = 20;

/// What was typed: where all of it was read, and of each model its version and what was written.
#[derive(Default)]
struct Typed {
    source: String,
    models: BTreeMap<ModelId, (Option<u32>, Written)>,
}

impl Typed {
    fn read(pairs: Vec<(String, String)>) -> Result<Self, Problem> {
        let mut typed = Self::default();
        for (name, text) in pairs {
            if name == "source" {
                typed.source = text;
                continue;
            }
            let below = name.split_once(']').map(|(below, _)| format!("{below}]"));
            let id = below
                .as_deref()
                .and_then(|below| below.strip_prefix("models["));
            let id = id.and_then(|id| id.strip_suffix(']')?.parse::<ModelId>().ok());
            let inner = below.as_deref().and_then(|below| unnested(below, &name));
            let (Some(id), Some(inner)) = (id, inner) else {
                return Err(unreadable());
            };
            let (revision, written) = typed.models.entry(id).or_default();
            match inner.as_str() {
                "revision" => *revision = Some(text.trim().parse().map_err(|_| unreadable())?),
                "source" => written.source = text,
                _ => {
                    written.fields.insert(inner, text);
                }
            }
        }
        if typed.models.is_empty() || typed.models.len() > AT_ONCE {
            return Err(unreadable());
        }
        Ok(typed)
    }

    fn completed(&self) -> Result<Vec<Completed>, Problem> {
        let models = self.models.iter();
        let one = |(id, (revision, written)): (&ModelId, &(Option<u32>, Written))| {
            let own = Some(written.source.trim()).filter(|own| !own.is_empty());
            Some(Completed {
                model: *id,
                seen: Seen::Version((*revision)?),
                written: Written {
                    source: own.unwrap_or(&self.source).to_owned(),
                    fields: written.fields.clone(),
                },
            })
        };
        models
            .map(one)
            .collect::<Option<_>>()
            .ok_or_else(unreadable)
    }

    /// What is wrong, the source once for the page where a model has none of its own.
    fn at_their_fields(&self, wrong: FieldErrors) -> FieldErrors {
        let mut seen = BTreeSet::new();
        let of_page: BTreeSet<String> = self
            .models
            .iter()
            .filter(|(_, (_, written))| written.source.trim().is_empty())
            .map(|(id, _)| format!("models[{id}][source]"))
            .collect();
        let mut errors = wrong.0;
        for error in &mut errors {
            if error.code == "choice" && of_page.contains(&error.field) {
                "source".clone_into(&mut error.field);
            }
        }
        errors.retain(|error| seen.insert((error.field.clone(), error.message.clone())));
        FieldErrors(errors)
    }
}

fn unreadable() -> Problem {
    Problem::Unreadable(
        "What was written cannot be read; open the form again from the proposed kit.".to_owned(),
    )
}

/// The form.
pub(in crate::web) async fn page_facts(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(from): Query<From>,
) -> Result<Page<FactsSheet>, Problem> {
    let nothing = FieldErrors::default();
    Ok(Page(
        Box::pin(sheet(&app, &signed, (id, &from), (None, &nothing))).await?,
    ))
}

async fn sheet(
    app: &App,
    signed: &Signed,
    (id, from): (JobId, &From),
    (typed, wrong): (Option<&Typed>, &FieldErrors),
) -> Result<FactsSheet, Problem> {
    let proposed = proposed(app, signed, id, from).await?;
    let mut models = proposed.models.clone();
    let may = signed.actor.role.may(Deed::KeepRegister);
    let mut who = String::new();
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    if let Some(typed) = typed {
        let ids: Vec<ModelId> = typed.models.keys().copied().collect();
        models.extend(tx.models_of(&ids).await?);
    }
    if !may {
        let people = tx.people().await?.into_iter();
        let people = people.filter(|one| one.active && one.role.may(Deed::KeepRegister));
        let names: Vec<String> = people.map(|one| one.name).collect();
        who = format!(
            "Your role may not write them down; these may: {}.",
            names.join(", ")
        );
    }
    let form = FormView::new(wrong);
    let all = asked(&proposed, &models, typed);
    let more = all.len().saturating_sub(AT_ONCE);
    let shown = all.iter().take(AT_ONCE);
    let (rig, mut hints) = (&proposed.list.rig, BTreeSet::new());
    let shown = shown.map(|one| FactsOf::new((&form, wrong), rig, one, &mut hints));
    let back = from.proposal_of(id);
    Ok(FactsSheet {
        shell: shell(
            signed,
            &format!("Not on record: {}", proposed.list.job.title),
        ),
        nav: job_nav(&proposed.list.job, ""),
        action: from.facts_of(id),
        source: source_of_all(&form, typed.map_or("", |typed| &typed.source)),
        nothing: all.is_empty().then(|| nothing_lacks(&back)),
        models: shown.collect(),
        back,
        form,
        more,
        may,
        who,
    })
}

fn nothing_lacks(back: &str) -> Empty {
    Empty::new(
        "No record of a model lacks what the open positions ask.",
        "What else stands against the items is told with the proposed kit.",
    )
    .step("See the proposed kit", back)
}

/// What is asked of each model: what it lacks now, and what was typed of others, so that nothing is lost.
fn asked<'a>(
    proposed: &'a Proposed,
    models: &'a HashMap<ModelId, Model>,
    typed: Option<&Typed>,
) -> Vec<Asked<'a>> {
    let lacking = &proposed.proposal.lacking;
    let mut order: Vec<ModelId> = typed
        .map(|typed| typed.models.keys().copied().collect())
        .unwrap_or_default();
    if typed.is_none() {
        order.extend(lacking.iter().map(|one| one.model));
    } else {
        // In the order in which they stood there before.
        let place = |id: &ModelId| lacking.iter().position(|one| one.model == *id);
        order.sort_by_key(|id| place(id).unwrap_or(usize::MAX));
    }
    let one = |id: ModelId| {
        let model = models.get(&id)?;
        let lacking: Option<&Lacking> = lacking.iter().find(|one| one.model == id);
        let typed = typed.and_then(|typed| typed.models.get(&id));
        let written = match typed {
            Some((_, written)) => written.clone(),
            None => Written {
                source: String::new(),
                fields: lacking?
                    .facts
                    .iter()
                    .flat_map(|fact| fact.opened(model))
                    .collect(),
            },
        };
        Some(Asked {
            model,
            lacking,
            written,
            is_typed: typed.is_some(),
        })
    };
    order.into_iter().filter_map(one).collect()
}

/// What the models that were written of lack all the same, in a sentence each; empty where they lack nothing.
async fn still_lacking(
    app: &App,
    signed: &Signed,
    (id, from): (JobId, &From),
    typed: &Typed,
) -> Result<String, Problem> {
    /// How many models are named.
    const MOST: usize = 3;
    let proposed = Box::pin(proposed(app, signed, id, from)).await?;
    let lacking = proposed.proposal.lacking.iter();
    let mut lacking = lacking.filter(|one| typed.models.contains_key(&one.model));
    let told: String = lacking
        .by_ref()
        .take(MOST)
        .filter_map(|one| {
            let title = proposed.models.get(&one.model)?.title();
            let lacks = one.lacks.join("; ");
            Some(format!(" Still not on record of {title}: {lacks}."))
        })
        .collect();
    Ok(match lacking.count() {
        0 => told,
        more => format!("{told} {more} more of them lack something too."),
    })
}

/// Saves all that was written, or nothing of it.
pub(in crate::web) async fn page_write_facts(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(from): Query<From>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let typed = Typed::read(pairs)?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let job = tx.job(id).await?.ok_or(Problem::NotFound("job"))?;
    drop(tx);
    let occasion = format!("for the job {}", job.title);
    let all = typed.completed()?;
    match deed::model::complete(&app.desk, &signed.actor, &all, &occasion).await {
        Ok(models) => {
            let lacks = Box::pin(still_lacking(&app, &signed, (id, &from), &typed)).await?;
            let said = match models.len() {
                0 => "Nothing new was written; the records are as they were.".to_owned(),
                n => format!(
                    "{} written to; the kit is proposed anew.{lacks}",
                    words::count(n, "record was", "records were")
                ),
            };
            Ok(Done::to(from.proposal_of(id)).saying(said).into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            let wrong = typed.at_their_fields(wrong);
            let sheet = Box::pin(sheet(&app, &signed, (id, &from), (Some(&typed), &wrong))).await?;
            Ok(Page::wrong(sheet))
        }
        Err(DeedError::Stale(wrong)) => {
            let wrong = typed.at_their_fields(wrong);
            let sheet = Box::pin(sheet(&app, &signed, (id, &from), (Some(&typed), &wrong))).await?;
            Ok(Page::again(StatusCode::CONFLICT, sheet))
        }
        Err(other) => Err(other.into()),
    }
}
