//! What makers sell: adding a model and mending its record.

use super::{
    DeedError, Desk, Seen, model_limit::hold_beyond, notice::hold_of_model, permit, same_revision,
};
use crate::domain::{
    Actor, Change, Deed, FieldErrors, Model, ModelDraft, ModelId, date::write_day, fact::Written,
};

/// Adds a model under an id that the form was given when it was opened, so that a form sent twice
/// adds it once.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold, `name` among them if the team has a
/// model of that maker and name.
pub async fn add(
    desk: &Desk,
    actor: &Actor,
    id: ModelId,
    draft: &ModelDraft,
) -> Result<Model, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let model = draft.check(id, 1)?;
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.model(id).await? {
        return Ok(there);
    }
    if tx.model_named(&model.maker, &model.name).await?.is_some() {
        return Err(taken(&model).into());
    }
    tx.record(actor, desk.clock.now(), Change::ModelAdded(model.clone()))
        .await?;
    tx.commit().await?;
    Ok(model)
}

/// A model whose record was replaced, and what followed.
#[derive(Clone, Debug)]
pub struct Revised {
    /// The model as it is now.
    pub model: Model,
    /// The marks of its items that went to quarantine: what was measured of them last is beyond what the maker allows by
    /// its record now.
    pub beyond: Vec<String>,
}

/// Replaces a model's record. What is in service and was measured beyond a limit that it has now goes to quarantine in the
/// same transaction.
///
/// # Errors
/// [`DeedError::Stale`] if it was changed since it was seen; [`DeedError::Invalid`] as for adding, and
/// where the kind would change: that has a deed of its own, [`change`](super::model_kind::change).
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: ModelId,
    seen: Seen,
    draft: &ModelDraft,
) -> Result<Revised, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.model(id).await?.ok_or(DeedError::NotFound("model"))?;
    let model = same_revision(before.revision, seen, draft.check(id, before.revision + 1))?;
    if before.kind != model.kind {
        return Err(FieldErrors::one(
            "kind",
            "choice",
            format!(
                "A model keeps its kind here, {}. That it is {} is said on the page \"Change its kind\", with a reason.",
                before.kind.word(),
                model.kind.one()
            ),
        )
        .into());
    }
    if tx
        .model_named(&model.maker, &model.name)
        .await?
        .is_some_and(|other| other.id != id)
    {
        return Err(taken(&model).into());
    }
    let now = desk.clock.now();
    tx.record(actor, now, Change::ModelRevised(model.clone()))
        .await?;
    if (&before.maker, &before.name) != (&model.maker, &model.name) {
        hold_of_model(&mut tx, (actor, now), &before, &model).await?;
    }
    let beyond = hold_beyond(&mut tx, (actor, now), (&before, &model)).await?;
    tx.commit().await?;
    Ok(Revised { model, beyond })
}

/// What was written of one model, and the version of its record that was seen.
#[derive(Clone, Debug)]
pub struct Completed {
    /// The model.
    pub model: ModelId,
    /// The version.
    pub seen: Seen,
    /// What was written.
    pub written: Written,
}

/// Writes facts onto the records of several models, all or none. `occasion` stands in their notes beside where the
/// facts were read: "said for the job Pump well". Models of which nothing new was written stay as they are; the others
/// are given back.
///
/// # Errors
/// [`DeedError::Stale`] if one of them was changed since it was seen, else [`DeedError::Invalid`]; each with every field
/// that does not hold, below `models[ID]`, and those of stale models at `models[ID][record]`.
pub async fn complete(
    desk: &Desk,
    actor: &Actor,
    all: &[Completed],
    occasion: &str,
) -> Result<Vec<Model>, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let said = format!("said on {} {occasion}", write_day(tx.day(now).await?));
    let (mut stale, mut wrong) = (false, FieldErrors::default());
    let mut completed = Vec::new();
    for one in all {
        let before = tx.model(one.model).await?;
        let before = before.ok_or(DeedError::NotFound("model"))?;
        let below = format!("models[{}]", one.model);
        let laid = one.written.onto(&before, &said);
        match same_revision(before.revision, one.seen, laid) {
            Ok(model) => completed.extend(model),
            Err(DeedError::Stale(found)) => {
                stale = true;
                let sentence = format!(
                    "The record of {} was changed since this page was opened.",
                    before.title()
                );
                wrong.add(format!("{below}[record]"), "stale", sentence);
                wrong.nest(&below, found);
            }
            Err(DeedError::Invalid(found)) => wrong.nest(&below, found),
            Err(other) => return Err(other),
        }
    }
    if stale {
        return Err(DeedError::Stale(wrong));
    }
    if !wrong.is_empty() {
        return Err(wrong.into());
    }
    for model in &completed {
        tx.record(actor, now, Change::ModelRevised(model.clone()))
            .await?;
    }
    tx.commit().await?;
    Ok(completed)
}

fn taken(model: &Model) -> FieldErrors {
    FieldErrors::one(
        "name",
        "taken",
        format!(
            "The register has the model \"{}\" already; choose it, or write another name.",
            model.title()
        ),
    )
}
