//! Changing the kind of a model: what it would do is told first, and what contradicts it refuses.

use super::{DeedError, Desk, Seen, permit, rulebook::home, same_revision};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Job, Kind, KindEffects, Model, ModelId, ModelKindChanged,
        ModelKindDraft,
    },
    store::{Direction, ItemFilter, ItemSort, Tx},
};

/// How many items are counted at once.
const PAGE: u32 = 500;
/// How many items on kit lists are named.
const NAMED: u32 = 20;

/// What a model and its items would be as ones of another kind.
#[derive(Clone, Debug)]
pub struct Forecast {
    /// The model as it is.
    pub model: Model,
    /// The other kind.
    pub to: Kind,
    /// What it does, a sentence each; nothing where it cannot be.
    pub effects: Vec<String>,
    /// The planned jobs that have an item of it on their kit lists, each with its mark.
    pub on_jobs: Vec<(String, Job)>,
    /// What of its record cannot be so of that kind.
    pub wrong: FieldErrors,
}

/// What it would do to change the kind of a model.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such model.
pub async fn forecast(
    desk: &Desk,
    actor: &Actor,
    id: ModelId,
    to: Kind,
) -> Result<Forecast, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.read(actor.team).await?;
    let model = tx.model(id).await?.ok_or(DeedError::NotFound("model"))?;
    let on_jobs = tx.planned_with(id, NAMED).await?;
    let (draft, left) = model.as_kind(to);
    let (effects, wrong) = match draft.check(id, model.revision + 1) {
        Ok(after) => (
            effects(&mut tx, (&model, &after), &left).await?,
            FieldErrors::default(),
        ),
        Err(wrong) => (Vec::new(), wrong),
    };
    Ok(Forecast {
        model,
        to,
        effects,
        on_jobs,
        wrong,
    })
}

async fn effects(
    tx: &mut Tx,
    (before, after): (&Model, &Model),
    left: &[String],
) -> Result<Vec<String>, DeedError> {
    let rulebook = home(tx).await?;
    let mut effects = KindEffects::new(before, after, &rulebook);
    let filter = ItemFilter {
        model: Some(before.id),
        ..ItemFilter::default()
    };
    let order = (ItemSort::Mark, Direction::Up);
    let mut next = None;
    loop {
        let page = tx.items(&filter, order, next.as_ref(), PAGE).await?;
        for item in &page.rows {
            effects.count(item);
        }
        next = page.next;
        if next.is_none() {
            return Ok(effects.sentences(left));
        }
    }
}

/// Changes the kind of a model, with a reason, in one entry. Its items, their examinations and their events stay.
///
/// # Errors
/// [`DeedError::Stale`] if the model was changed since it was seen; [`DeedError::Invalid`] without a kind or a reason,
/// while an item of it is on the kit list of a planned job, and where its record cannot be so of that kind.
pub async fn change(
    desk: &Desk,
    actor: &Actor,
    id: ModelId,
    seen: Seen,
    draft: &ModelKindDraft,
) -> Result<Model, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.model(id).await?.ok_or(DeedError::NotFound("model"))?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", &draft.reason);
    let kind = kind(&mut wrong, &before, &draft.kind);
    let on_jobs = tx.planned_with(id, NAMED).await?;
    if !on_jobs.is_empty() {
        wrong.add("kind", "in-use", in_use(&on_jobs));
    }
    let after = kind.and_then(|kind| {
        let (draft, _) = before.as_kind(kind);
        match draft.check(id, before.revision + 1) {
            Ok(after) => Some(after),
            Err(found) => {
                wrong.add("kind", "record", against(kind, &found));
                None
            }
        }
    });
    let typed = match after {
        Some(after) if wrong.is_empty() => Ok(after),
        _ => Err(wrong),
    };
    let model = same_revision(before.revision, seen, typed)?;
    let changed = ModelKindChanged {
        model: model.clone(),
        from: before.kind,
        reason,
    };
    tx.record(actor, desk.clock.now(), Change::ModelKindChanged(changed))
        .await?;
    tx.commit().await?;
    Ok(model)
}

fn kind(wrong: &mut FieldErrors, before: &Model, typed: &str) -> Option<Kind> {
    let typed = typed.trim();
    let kind = Kind::from_word(typed);
    if kind.is_none() {
        let given: String = typed.chars().take(60).collect();
        let sentence = format!("Choose a kind of gear from the list, not \"{given}\".");
        wrong.add("kind", "choice", sentence);
    }
    if kind == Some(before.kind) {
        let sentence = format!("It is {} already: choose another kind.", before.kind.one());
        wrong.add("kind", "choice", sentence);
        return None;
    }
    kind
}

/// Why what is on kit lists keeps its kind.
pub fn in_use(on_jobs: &[(String, Job)]) -> String {
    let named: Vec<String> = on_jobs
        .iter()
        .map(|(mark, job)| format!("{mark} on \"{}\"", job.title))
        .collect();
    format!(
        "What is on the kit list of a planned job was judged there as what it is: {}. Take it off there first.",
        named.join(", ")
    )
}

/// Why its record cannot be so of a kind.
pub fn against(kind: Kind, wrong: &FieldErrors) -> String {
    let said: Vec<&str> = wrong.0.iter().map(|one| one.message.as_str()).collect();
    format!(
        "Its record cannot stay so as one of {}: {}",
        kind.one(),
        said.join(" ")
    )
}
