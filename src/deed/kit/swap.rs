//! One item in another's place, and the place that takes an item.

use super::{
    super::{DeedError, Desk, permit},
    Put, add_one,
    bench::{Bench, Surroundings},
    course::Course,
    wanted,
};
use crate::domain::{
    Actor, Deed, JobId, KitLine, KitLineDraft, KitLineId, RefusalCode, fitness::KitItem,
};

/// Takes a line off the list and puts another item in its place, both or neither. What the same person put on before by the
/// id of the new line stays, so that a request may be sent twice. A refused attempt is kept in the history.
///
/// # Errors
/// [`DeedError::Refused`] with every reason against the other item; [`DeedError::Invalid`] where there is no such item;
/// [`DeedError::Overtaken`] where the line is off the list by now, or where the id was used for something else;
/// [`DeedError::NotAllowed`] once the job has ended.
pub async fn swap(
    desk: &Desk,
    actor: &Actor,
    (id, line): (JobId, KitLineId),
    (new, item): (KitLineId, &str),
) -> Result<KitLine, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let mut tx = desk.database.read(actor.team).await?;
    let course = Course::of(&mut tx, id).await?;
    drop(tx);
    let (_, stood) = course.put_on(line).ok_or(DeedError::NotFound("kit line"))?;
    let draft = KitLineDraft {
        item: item.to_owned(),
        position: stood.position.clone().unwrap_or_default(),
    };
    let put = Put {
        line: new,
        draft,
        instead_of: Some(line),
    };
    add_one(desk, actor, id, put).await
}

/// The position that an item is meant for which was scanned while nobody chose one: that which is offered, if it may go
/// there, else the first open one where it may, else the first open one that takes its kind; that which is offered where
/// there is none.
///
/// # Errors
/// [`DeedError::Invalid`] where there is no such item; [`DeedError::NotFound`] if there is no such job.
pub async fn place_for(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    draft: &KitLineDraft,
) -> Result<String, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let bench = Bench::load(&mut tx, id, desk.clock.now()).await?;
    let item = wanted(&mut tx, &draft.item).await?;
    let model = tx.model(item.model).await?;
    let model = model.ok_or(DeedError::NotFound("model"))?;
    let around = Surroundings::of(&mut tx, (&bench.job, bench.now), [(&item, &model)]).await?;
    let plan = bench.plan();
    let offered = draft.position.trim();
    let mut open: Vec<_> = plan.rig.positions().iter().collect();
    open.retain(|position| !bench.fills(position.key()));
    open.sort_by_key(|position| (position.key() != offered, position.is_optional()));
    let judged = open.into_iter().map(|position| {
        let candidate = KitItem {
            item: &item,
            model: &model,
            position: Some(position.key()),
        };
        let refusals = bench.refusals(&plan, &around, candidate, None);
        let codes: Vec<RefusalCode> = refusals.iter().map(|refusal| refusal.code).collect();
        (position.key(), codes)
    });
    let judged: Vec<_> = judged.collect();
    let fit = judged.iter().find(|(_, codes)| codes.is_empty());
    let of_kind = || {
        let mut judged = judged.iter();
        judged.find(|(_, codes)| !codes.contains(&RefusalCode::WrongKind))
    };
    let place = fit.or_else(of_kind).map(|(key, _)| (*key).to_owned());
    Ok(place.unwrap_or_else(|| offered.to_owned()))
}
