//! Rounds of examinations: planned from a list, worked off by examinations, closed.

use std::collections::HashMap;

use time::Date;

use super::{DeedError, Desk, paper, permit, qualification, rulebook};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, InRound, Item, ItemId, LookedAt, MOST_IN_ROUND, Model,
        ModelId, NotAllowed, PaperSize, PersonId, Round, RoundClosingDraft, RoundDraft, RoundId,
        Store, fitness::due_on,
    },
    export::paper::due::{DueItem, round_list},
    store::{Cursor, Direction, ItemFilter, ItemSort, Page, Tx},
};

/// An item of a round.
#[derive(Clone, Debug)]
pub struct Stop {
    /// The item.
    pub item: Item,
    /// Its last thorough examination in the round.
    pub looked: Option<LookedAt>,
    /// What became of it.
    pub became: InRound,
}

/// A round with what became of its items.
#[derive(Clone, Debug)]
pub struct Progress {
    /// The round.
    pub round: Round,
    /// Its items, those that wait for somebody first, then by mark.
    pub stops: Vec<Stop>,
    /// Their models.
    pub models: HashMap<ModelId, Model>,
    /// The stores of the team.
    pub stores: Vec<Store>,
}

impl Progress {
    /// How many items have become this.
    pub fn count(&self, what: InRound) -> usize {
        self.stops.iter().filter(|stop| stop.became == what).count()
    }
}

/// What a round may be made of: items by a filter of the list.
#[derive(Clone, Debug)]
pub struct Choosable {
    /// The items, the first due first; no more than a round takes.
    pub items: Vec<Item>,
    /// Whether there are more.
    pub more: bool,
    /// Their models.
    pub models: HashMap<ModelId, Model>,
    /// The stores of the team.
    pub stores: Vec<Store>,
    /// The names of those who may examine.
    pub examiners: Vec<String>,
}

async fn models_of(tx: &mut Tx, items: &[&Item]) -> Result<HashMap<ModelId, Model>, DeedError> {
    let mut models: Vec<_> = items.iter().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    Ok(tx.models_of(&models).await?)
}

/// The items that a filter leaves, for a round.
///
/// # Errors
/// [`DeedError::Forbidden`] if this role may not examine.
pub async fn choosable(
    desk: &Desk,
    actor: &Actor,
    filter: &ItemFilter,
) -> Result<Choosable, DeedError> {
    permit(actor, Deed::Examine)?;
    let mut tx = desk.database.read(actor.team).await?;
    let most = u32::try_from(MOST_IN_ROUND).unwrap_or(u32::MAX);
    let order = (ItemSort::Due, Direction::Up);
    let page = tx.items(filter, order, None, most).await?;
    let today = tx.day(desk.clock.now()).await?;
    let competence = qualification::of(&mut tx).await?;
    let mut examiners: Vec<String> = competence
        .qualifications
        .iter()
        .filter(|one| one.holds_on(today))
        .map(|one| competence.name_of(one).to_owned())
        .collect();
    examiners.sort();
    examiners.dedup();
    Ok(Choosable {
        models: models_of(&mut tx, &page.rows.iter().collect::<Vec<_>>()).await?,
        stores: tx.stores().await?,
        more: page.next.is_some(),
        items: page.rows,
        examiners,
    })
}

/// Plans a round.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn plan(
    desk: &Desk,
    actor: &Actor,
    id: RoundId,
    draft: &RoundDraft,
) -> Result<Round, DeedError> {
    permit(actor, Deed::Examine)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.round(id).await? {
        return Ok(there);
    }
    let mut round = draft.check(id, tx.day(now).await?)?;
    if let Ok(person) = round.examiner.parse::<PersonId>() {
        let person = tx.person(person).await?;
        let person = person.ok_or_else(|| {
            let message = format!(
                "Nobody of the team has the id {}. Write who is to examine by name.",
                round.examiner
            );
            FieldErrors::one("examiner", "unknown", message)
        })?;
        round.examiner = person.name;
    }
    let there = tx.items_of(&round.items).await?;
    if let Some(unknown) = round.items.iter().find(|item| !there.contains_key(item)) {
        let message = format!("The register has no item with the id {unknown}.");
        return Err(FieldErrors::one("items", "unknown", message).into());
    }
    tx.record(actor, now, Change::RoundPlanned(round.clone()))
        .await?;
    tx.commit().await?;
    Ok(round)
}

/// A page of rounds, the last to begin first.
pub async fn list(
    desk: &Desk,
    actor: &Actor,
    after: Option<&Cursor>,
    limit: u32,
) -> Result<Page<Round>, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.rounds(after, limit).await?)
}

/// A round with what became of its items.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such round.
pub async fn show(desk: &Desk, actor: &Actor, id: RoundId) -> Result<Progress, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    progress(&mut tx, id).await
}

/// The items of a round, with their last thorough examinations in it. A rope that was cut before it was looked at is
/// there with its pieces, which wait in its place; once the round is closed, with those that were told of then.
pub(super) async fn items_in(
    tx: &mut Tx,
    round: &Round,
) -> Result<(Vec<Item>, HashMap<ItemId, LookedAt>), DeedError> {
    let (mut all, mut next) = (Vec::new(), round.items.clone());
    let mut looked = HashMap::new();
    while !next.is_empty() {
        let mut found = tx.items_of(&next).await?;
        looked.extend(match &round.closed {
            Some(closed) if !closed.looked.is_empty() => tx.looked_in(&closed.looked).await?,
            closed => {
                let last = closed.as_ref().map_or(Date::MAX, |closed| closed.on);
                tx.looked_at(&next, (round.from, last)).await?
            }
        });
        let there: Vec<Item> = next.iter().filter_map(|id| found.remove(id)).collect();
        let cut = there.iter().filter(|item| !looked.contains_key(&item.id));
        let cut = cut.filter_map(|item| item.cut_into.as_ref());
        next = cut.flat_map(|into| into.pieces.clone()).collect();
        all.extend(there);
    }
    if let Some(closed) = &round.closed {
        let is_told = |id: &ItemId| {
            round.items.contains(id)
                || looked.contains_key(id)
                || closed.left.iter().any(|left| left.item == *id)
        };
        all.retain(|item| is_told(&item.id));
    }
    Ok((all, looked))
}

async fn progress(tx: &mut Tx, id: RoundId) -> Result<Progress, DeedError> {
    let round = tx.round(id).await?.ok_or(DeedError::NotFound("round"))?;
    let (items, mut looked) = items_in(tx, &round).await?;
    let mut stops: Vec<Stop> = items
        .into_iter()
        .map(|item| {
            let looked = looked.remove(&item.id);
            let became = match &round.closed {
                Some(closed) => closed.became(item.id, looked.as_ref()),
                None => InRound::of(&item, looked.as_ref()),
            };
            Stop {
                item,
                looked,
                became,
            }
        })
        .collect();
    stops.sort_by(|one, other| {
        let order = |stop: &Stop| (stop.became, crate::domain::fold(&stop.item.mark));
        order(one).cmp(&order(other))
    });
    let models = models_of(tx, &stops.iter().map(|stop| &stop.item).collect::<Vec<_>>()).await?;
    let stores = tx.stores().await?;
    Ok(Progress {
        round,
        stops,
        models,
        stores,
    })
}

/// Closes a round, with the reason for what was not examined.
///
/// # Errors
/// [`DeedError::Invalid`] where something is left and no reason was given; [`DeedError::NotFound`] if there is no such
/// round, [`DeedError::NotAllowed`] if it was closed before.
pub async fn close(
    desk: &Desk,
    actor: &Actor,
    id: RoundId,
    draft: &RoundClosingDraft,
) -> Result<Round, DeedError> {
    permit(actor, Deed::Examine)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let there = progress(&mut tx, id).await?;
    if there.round.closed.is_some() {
        return Err(NotAllowed::RoundClosed.into());
    }
    let left = there.stops.iter().filter(|stop| stop.became.is_open());
    let left: Vec<(ItemId, bool)> = left
        .map(|stop| (stop.item.id, stop.became == InRound::NotFound))
        .collect();
    let looked = there.stops.iter().filter_map(|stop| stop.looked.as_ref());
    let looked = looked.map(|looked| looked.id).collect();
    let closing = draft.check(&there.round, tx.day(now).await?, (&left, looked))?;
    tx.record(actor, now, Change::RoundClosed(closing.clone()))
        .await?;
    tx.commit().await?;
    Ok(Round {
        closed: Some(closing),
        ..there.round
    })
}

/// The list of a round to take along, as a PDF: what is left, with when it was due.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such round.
pub async fn file(
    desk: &Desk,
    actor: &Actor,
    id: RoundId,
    size: PaperSize,
) -> Result<Vec<u8>, DeedError> {
    permit(actor, Deed::Export)?;
    let mut tx = desk.database.read(actor.team).await?;
    let there = progress(&mut tx, id).await?;
    let stamp = paper::stamp(&mut tx, actor).await?;
    let book = rulebook::home(&mut tx).await?;
    let at = desk.clock.now();
    let listed = there.stops.iter().filter_map(|stop| {
        let model = there.models.get(&stop.item.model)?;
        let store = there
            .stores
            .iter()
            .find(|store| store.id == stop.item.store);
        let due = due_on(&stop.item, model, &book);
        let item = DueItem {
            mark: stop.item.mark.clone(),
            model: model.title(),
            serial: stop.item.serial.clone(),
            store: store.map(|store| store.name.clone()),
            state: stop.item.state.word(),
            due: due.map(|(day, rule)| (day, rule.to_string())),
        };
        let looked = stop.looked.as_ref().map(LookedAt::in_words);
        let closed = there.round.closed.iter();
        let mut left = closed.flat_map(|closed| &closed.left);
        let why = left.find(|left| left.item == stop.item.id);
        Some((
            stop.became,
            item,
            looked.or(why.map(|left| left.reason.clone())),
        ))
    });
    let listed: Vec<(InRound, DueItem, Option<String>)> = listed.collect();
    let round = there.round;
    let done =
        paper::laid_out(move || round_list(&paper::imprint(&stamp, at, size), &round, &listed));
    Ok(done.await??)
}
