//! An item on a day.

use std::borrow::Cow;

use time::Date;

use super::{Look, Past, all, begin, beside, day_asked};
use crate::{
    deed::{DeedError, Desk},
    domain::{
        Actor, Change, Entry, Item, ItemId, Names, Zone,
        then::{ITEM_KINDS, Reckoning, Side, StandingThen, item_facts, side_by_side},
    },
    store::{EntryFilter, Kept, StoreError, Tx},
};

/// An item as it is, and as it was on a day by both clocks.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item, [`DeedError::Invalid`] for a day that is none, or is to come.
pub async fn item(
    desk: &Desk,
    actor: &Actor,
    id: ItemId,
    on: &str,
) -> Result<(Item, Result<Past, DeedError>), DeedError> {
    let Look {
        mut tx,
        zone,
        today,
    } = begin(desk, actor).await?;
    let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
    let on = match day_asked(on, today) {
        Ok(on) => on,
        Err(wrong) => return Ok((item, Err(wrong.into()))),
    };
    let of_team = beside::of_team(&mut tx).await?;
    let Stood {
        sides,
        kept,
        states,
    } = stood(&mut tx, &item, (on, &zone), (&of_team, [None; 2])).await?;
    let states = (states.0.as_deref(), states.1.as_deref());
    let past = Past::of_facts(&mut tx, (&item.mark, on), states, (&sides, &kept)).await?;
    Ok((item, Ok(past)))
}

/// How an item stood on a day.
pub(super) struct Stood {
    /// Its facts by both clocks.
    pub sides: Vec<Side>,
    /// The entries of which it is made.
    pub kept: Vec<Kept>,
    /// Its state, as it was known then and as it is known now; none where it was not there.
    pub states: (Option<String>, Option<String>),
}

/// How an item stood on a day, by both clocks. `of_team` is what [`beside::of_team`] gives; `rulebooks` are those by which
/// each clock reckons in place of the team's.
pub(super) async fn stood(
    tx: &mut Tx,
    item: &Item,
    (on, zone): (Date, &Zone),
    (of_team, rulebooks): (&[Kept], [Option<&str>; 2]),
) -> Result<Stood, StoreError> {
    let id = item.id;
    let kept = entries_of(tx, item, of_team).await?;
    let entries: Vec<Entry<Change>> = kept.iter().map(|kept| kept.entry.clone()).collect();
    let fold = |by| StandingThen::new(on, by, zone);
    let names = names_of(tx, &kept, item).await?;
    let [known, now] = rulebooks;
    let mut pasts = (
        fold(Reckoning::Then).under(known),
        fold(Reckoning::Now).under(now),
    );
    let sides = side_by_side(&mut pasts, &entries, (on, zone), |past| {
        past.items.item(id).map_or_else(Vec::new, |item| {
            item_facts(item, &past.beside, &names, (on, zone))
        })
    });
    let state = |past: &StandingThen| past.standing(id).map(Cow::into_owned);
    let states = (state(&pasts.0), state(&pasts.1));
    Ok(Stood {
        sides,
        kept,
        states,
    })
}

/// The entries of which the item is made: its own, those of the ropes that it was part of until it was cut off, those
/// that say by which clocks the team counts its days, and those about what stands around it.
async fn entries_of(tx: &mut Tx, item: &Item, of_team: &[Kept]) -> Result<Vec<Kept>, StoreError> {
    let mut ids: Vec<uuid::Uuid> = item.whole_ropes().iter().map(|rope| rope.item.0).collect();
    ids.push(tx.team().0);
    let mut mine = tx.entries_about(&ids, ITEM_KINDS).await?;
    let own = EntryFilter {
        subject: Some(item.id.0),
        kinds: ITEM_KINDS,
        ..EntryFilter::default()
    };
    mine.extend(all(tx, &own).await?);
    let around = beside::of_items(tx, &[item.id.0], &mine).await?;
    let all = beside::in_order([mine, around, of_team.to_vec()]);
    Ok(beside::of_makers(all))
}

/// The names of what the item speaks of, then and now.
async fn names_of(tx: &mut Tx, kept: &[Kept], item: &Item) -> Result<Names, StoreError> {
    let mut names = super::named(tx, kept).await?;
    let ropes = item.whole_ropes().iter().map(|rope| rope.item);
    let pieces = item
        .cut_into
        .iter()
        .flat_map(|into| into.pieces.iter().copied());
    let beside: Vec<ItemId> = ropes.chain(pieces).collect();
    let beside = tx.items_of(&beside).await?.into_values();
    names.add(beside, |item| (item.id.0, item.mark));
    let jobs: Vec<_> = kept
        .iter()
        .filter_map(|kept| match &kept.entry.change {
            Change::KitReturned(count) => Some(count.job),
            _ => None,
        })
        .collect();
    let jobs = tx.jobs_of(&jobs).await?.into_values();
    names.add(jobs, |job| (job.id.0, job.title));
    Ok(names)
}
