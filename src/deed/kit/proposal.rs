//! A kit put together for a job from what the register has.

use std::collections::{BTreeSet, HashMap};

use super::{
    bench::{Bench, Surroundings, with_models},
    filled::otherwise,
    stays,
};
use crate::{
    deed::{DeedError, Desk, permit},
    domain::{
        Actor, Deed, Item, ItemId, JobId, Kind, KitEntry, KitList, Model, ModelId, Store, StoreId,
        kit_strength::Extent, proposal::Proposal,
    },
    store::{Direction, ItemFilter, ItemSort, Tx},
};

/// How many items of each kind are looked at.
const OF_A_KIND: usize = 2_000;
/// How many are read at once.
const PAGE: u32 = 500;

/// What a kit may be put together from.
#[derive(Clone, Debug, Default)]
pub struct Source {
    /// The only store that items are taken from; all of them where it is not said.
    pub store: Option<StoreId>,
    /// Another rig than the one that is planned, with nothing on its list; the planned one where it is not said.
    pub rig: Option<String>,
}

/// A kit that was put together, and the records that it speaks of.
#[derive(Clone, Debug)]
pub struct Proposed {
    /// The job with its list as it stands.
    pub list: KitList,
    /// The kit.
    pub proposal: Proposal,
    /// What stands at a position and may not go: something is proposed for its place.
    pub refused: Vec<KitEntry>,
    /// What only one of those speaks against, which does not take it: it stays where it is.
    pub stays: Vec<KitEntry>,
    /// The items that it names, with their models.
    pub items: HashMap<ItemId, (Item, Model)>,
    /// The models whose records lack something.
    pub models: HashMap<ModelId, Model>,
    /// The stores of the team.
    pub stores: Vec<Store>,
    /// The kinds of which there are more items than were looked at.
    pub cut_off: Vec<Kind>,
}

/// Puts a kit together for the open positions of a job, and for those at which something stands that may not go. Nothing is
/// written.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such job; [`DeedError::Invalid`] if the plan does not hold with the other rig.
pub async fn propose(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    source: Source,
) -> Result<Proposed, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let mut bench = Bench::load(&mut tx, id, desk.clock.now()).await?;
    if let Some(rig) = &source.rig {
        let (job, chosen) = otherwise(&mut tx, &bench.job, rig).await?;
        bench = Bench::empty(job, chosen, desk.clock.now(), bench.zone);
    }
    let refused = refused(&mut tx, &bench).await?;
    for entry in &refused {
        bench.take(entry.line.id);
    }
    let (offered, cut_off) = offered(&mut tx, &bench, &source, OF_A_KIND).await?;
    let pairs = offered.iter().map(|(item, model)| (item, model));
    let around = Surroundings::of(&mut tx, (&bench.job, bench.now), pairs).await?;
    let around = around.with_bags(&mut tx).await?;
    // Work for a processor, not for the thread that answers everybody.
    let (mut bench, mut proposal, offered, refused, stays) =
        tokio::task::spawn_blocking(move || {
            let (mut proposal, lines) = stays::proposed(&mut bench, &around, &offered, &refused);
            for pick in &mut proposal.picks {
                let with = around.with_crew(pick.item);
                pick.why.extend(with.map(|with| with.caution(&bench.zone)));
            }
            let is_kept = |entry: &KitEntry| lines.contains(&entry.line.id);
            let (stays, refused): (Vec<_>, Vec<_>) = refused.into_iter().partition(is_kept);
            (bench, proposal, offered, refused, stays)
        })
        .await
        .map_err(|error| DeedError::Internal(Box::new(error)))?;
    put_in_place(&mut proposal, &refused);
    for entry in &refused {
        let (item, model) = (entry.item.clone(), entry.model.clone());
        bench.put(entry.line.clone(), item, model);
    }
    let refused = looked_at(&proposal, refused);
    let stores = tx.stores().await?;
    let lacking: Vec<ModelId> = proposal.lacking.iter().map(|one| one.model).collect();
    Ok(Proposed {
        models: tx.models_of(&lacking).await?,
        list: bench.judged(&mut tx, Extent::Answer).await?,
        items: named(&proposal, offered),
        proposal,
        refused,
        stays,
        stores,
        cut_off,
    })
}

/// What stands at a position of the rig and may not go, while the list can change.
async fn refused(tx: &mut Tx, bench: &Bench) -> Result<Vec<KitEntry>, DeedError> {
    if bench.job.may_change().is_err() {
        return Ok(Vec::new());
    }
    let mut entries = bench.entries(tx).await?;
    entries.retain(|entry| {
        let position = entry.line.position.as_deref();
        let is_placed = position.is_some_and(|key| bench.chosen.rig.position(key).is_some());
        is_placed && !entry.refusals.is_empty()
    });
    Ok(entries)
}

/// Those for whose place something was looked for: what stands where nothing has to be is left to whoever put it there.
fn looked_at(proposal: &Proposal, mut refused: Vec<KitEntry>) -> Vec<KitEntry> {
    let missing = proposal.missing.iter().chain(&proposal.unworn);
    let missing = missing.map(|one| one.position.as_str());
    let picked = proposal.picks.iter().map(|one| one.position.as_str());
    let asked: BTreeSet<&str> = missing.chain(picked).collect();
    refused.retain(|entry| {
        let position = entry.line.position.as_deref();
        position.is_some_and(|key| asked.contains(key))
    });
    refused
}

/// Says of each pick in whose place it goes; what would go in its own stays where it is.
fn put_in_place(proposal: &mut Proposal, refused: &[KitEntry]) {
    let there = |position: &str| {
        let mut refused = refused.iter();
        refused.find(|entry| entry.line.position.as_deref() == Some(position))
    };
    proposal
        .picks
        .retain(|pick| there(&pick.position).is_none_or(|entry| entry.item.id != pick.item));
    for pick in &mut proposal.picks {
        pick.instead_of = there(&pick.position).map(|entry| entry.line.id);
    }
}

/// The items of all kinds that the rig takes, at most so many of a kind, with their models; and the kinds of which
/// there are more.
pub(super) async fn offered(
    tx: &mut Tx,
    bench: &Bench,
    source: &Source,
    of_a_kind: usize,
) -> Result<(Vec<(Item, Model)>, Vec<Kind>), DeedError> {
    let (mut offered, mut cut_off) = (Vec::new(), Vec::new());
    for kind in bench.kinds() {
        let (items, is_cut_off) = of_kind(tx, kind, source, of_a_kind).await?;
        offered.extend(items);
        cut_off.extend(is_cut_off.then_some(kind));
    }
    Ok((with_models(tx, offered).await?, cut_off))
}

/// The items of a kind by their marks, at most so many, and whether there are more.
pub(super) async fn of_kind(
    tx: &mut Tx,
    kind: Kind,
    source: &Source,
    most: usize,
) -> Result<(Vec<Item>, bool), DeedError> {
    let filter = ItemFilter {
        kind: Some(kind),
        store: source.store,
        without_retired: true,
        ..ItemFilter::default()
    };
    let sort = (ItemSort::Mark, Direction::Up);
    let (mut items, mut after) = (Vec::new(), None);
    loop {
        let page = tx.items(&filter, sort, after.as_ref(), PAGE).await?;
        items.extend(page.rows);
        after = page.next;
        if after.is_none() || items.len() >= most {
            return Ok((items, after.is_some()));
        }
    }
}

/// The items that a proposal names.
fn named(proposal: &Proposal, offered: Vec<(Item, Model)>) -> HashMap<ItemId, (Item, Model)> {
    let picks = proposal.picks.iter().map(|pick| pick.item);
    let nearest = proposal.missing.iter().flat_map(|missing| &missing.nearest);
    let ids: BTreeSet<ItemId> = picks.chain(nearest.map(|nearest| nearest.item)).collect();
    offered
        .into_iter()
        .filter(|(item, _)| ids.contains(&item.id))
        .map(|pair| (pair.0.id, pair))
        .collect()
}
