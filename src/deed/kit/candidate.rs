//! What might go at a position: the fit ones first, and of those the ones that lie where the rest of the kit does.

use std::collections::{HashMap, HashSet, hash_map::Entry};

use super::{
    super::{DeedError, Desk, permit},
    bench::{Bench, Surroundings, with_models},
};
use crate::{
    domain::{
        Actor, Candidate, Deed, Item, JobId, Kind, KitEntry, KitLineId, KitList, Model, Store,
        StoreId, fitness::KitItem, fold, kit_strength::gaps_of,
    },
    rigging::Position,
    store::{Cursor, Direction, ItemFilter, ItemSort, Tx},
};

/// One look for candidates.
#[derive(Clone, Debug, Default)]
pub struct Look {
    /// The position's key; none looks for spares.
    pub position: Option<String>,
    /// The kinds; several are shown together, without further pages.
    pub kinds: Vec<Kind>,
    /// Words of the mark, serial, lot or model.
    pub search: String,
    /// Where the page begins.
    pub after: Option<Cursor>,
}

/// What a look found.
#[derive(Clone, Debug)]
pub struct Candidates {
    /// The one whose mark was looked for, then the fit ones; of those that are alike in that, the ones of the near store.
    pub rows: Vec<Candidate>,
    /// Where the next page begins.
    pub next: Option<Cursor>,
    /// Where the rest of the kit comes from; none while it is empty.
    pub near: Option<Near>,
}

/// The store from which most of a kit comes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Near {
    /// The store.
    pub store: Store,
    /// How many items of the kit live there.
    pub items: usize,
    /// How many items the kit has.
    pub of: usize,
}

/// How many candidates a page shows.
const CANDIDATES: u32 = 40;

/// Items that might go on, the fit ones first, each of the others with every reason against it.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such job or its rig has no such position.
pub async fn candidates(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    look: &Look,
) -> Result<Candidates, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let bench = Bench::load(&mut tx, id, desk.clock.now()).await?;
    let stores = tx.stores().await?;
    let near = near(&bench, &stores);
    let near_id = near.as_ref().map(|near| near.store.id);
    let Found {
        pairs,
        around,
        next,
    } = found(&mut tx, &bench, look, near_id).await?;
    let plan = bench.plan();
    let mut rows = Vec::new();
    for (item, model) in pairs {
        let candidate = KitItem {
            item: &item,
            model: &model,
            position: look.position.as_deref(),
        };
        let refusals = bench.refusals(&plan, &around, candidate, None);
        let gaps = gaps_of(&plan, &candidate, &refusals);
        rows.push(Candidate {
            with_crew: around.with_crew(item.id).cloned(),
            store: name_of(&stores, item.store),
            item,
            model,
            refusals,
            gaps,
        });
    }
    let searched = fold(&look.search);
    rows.sort_by_key(|one| {
        let elsewhere = near_id.is_some_and(|near| one.item.store != near);
        let is_other = !searched.is_empty() && fold(&one.item.mark) != searched;
        (is_other, one.refusals.len(), one.gaps.len(), elsewhere)
    });
    Ok(Candidates { rows, next, near })
}

/// How many alternatives are offered in the place of an item, and of how many refused items.
const ALTERNATIVES: usize = 3;
const OF_REFUSED: usize = 8;

/// For each item that stands at a position of a list and may not go: what may go in its place with nothing lacking, the
/// likeliest first.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such job.
pub async fn alternatives(
    desk: &Desk,
    actor: &Actor,
    list: &KitList,
) -> Result<HashMap<KitLineId, Vec<Candidate>>, DeedError> {
    permit(actor, Deed::Read)?;
    let mut all = HashMap::new();
    let refused = list.entries.iter().filter(|entry| {
        let position = entry.line.position.as_deref();
        let is_placed = position.is_some_and(|key| list.rig.position(key).is_some());
        is_placed && !entry.refusals.is_empty()
    });
    let refused: Vec<&KitEntry> = refused.take(OF_REFUSED).collect();
    if refused.is_empty() {
        return Ok(all);
    }
    let mut tx = desk.database.read(actor.team).await?;
    let bench = Bench::load(&mut tx, list.job.id, desk.clock.now()).await?;
    let stores = tx.stores().await?;
    let near = near(&bench, &stores).map(|near| near.store.id);
    let mut read: HashMap<Vec<Kind>, Found> = HashMap::new();
    for entry in refused {
        let position = entry.line.position.as_deref();
        let position = position.and_then(|key| list.rig.position(key));
        let kinds = position.into_iter().flat_map(Position::accepts);
        let kinds = kinds.filter_map(|word| Kind::from_word(word)).collect();
        let found = match read.entry(kinds) {
            Entry::Occupied(there) => there.into_mut(),
            Entry::Vacant(unread) => {
                let look = Look {
                    kinds: unread.key().clone(),
                    ..Look::default()
                };
                let mut found = found(&mut tx, &bench, &look, near).await?;
                let elsewhere = |item: &Item| near.is_some_and(|near| item.store != near);
                found.pairs.sort_by_key(|(item, _)| elsewhere(item));
                unread.insert(found)
            }
        };
        all.insert(entry.line.id, found.instead_of(entry, &bench, &stores));
    }
    Ok(all)
}

/// What a look finds, and what the team knows about it.
struct Found {
    pairs: Vec<(Item, Model)>,
    around: Surroundings,
    next: Option<Cursor>,
}

async fn found(
    tx: &mut Tx,
    bench: &Bench,
    look: &Look,
    near: Option<StoreId>,
) -> Result<Found, DeedError> {
    let (items, next) = looked_for(tx, look, near).await?;
    let pairs = with_models(tx, items).await?;
    let all = pairs.iter().map(|(item, model)| (item, model));
    let around = Surroundings::of(tx, (&bench.job, bench.now), all).await?;
    Ok(Found {
        pairs,
        around,
        next,
    })
}

impl Found {
    /// The first that may go in the place of what stands on the list, as if that were not there, with nothing lacking.
    fn instead_of(&self, entry: &KitEntry, bench: &Bench, stores: &[Store]) -> Vec<Candidate> {
        let plan = bench.plan();
        let others = self.pairs.iter().filter(|(item, _)| {
            item.id != entry.item.id && self.around.with_crew(item.id).is_none()
        });
        let may_go = others.filter(|(item, model)| {
            let candidate = KitItem {
                item,
                model,
                position: entry.line.position.as_deref(),
            };
            let refusals = bench.refusals(&plan, &self.around, candidate, Some(entry.line.id));
            refusals.is_empty() && gaps_of(&plan, &candidate, &refusals).is_empty()
        });
        let first = may_go.take(ALTERNATIVES).map(|(item, model)| Candidate {
            with_crew: None,
            store: name_of(stores, item.store),
            item: item.clone(),
            model: model.clone(),
            refusals: Vec::new(),
            gaps: Vec::new(),
        });
        first.collect()
    }
}

fn name_of(stores: &[Store], id: StoreId) -> String {
    let store = stores.iter().find(|store| store.id == id);
    store.map_or_else(String::new, |store| store.name.clone())
}

/// The store from which most of the kit comes; of several with as many items the first by name.
fn near(bench: &Bench, stores: &[Store]) -> Option<Near> {
    let mut counts: HashMap<StoreId, usize> = HashMap::new();
    for item in bench.items() {
        *counts.entry(item.store).or_default() += 1;
    }
    let of = counts.values().sum();
    let mut near: Option<Near> = None;
    for store in stores {
        let items = counts.get(&store.id).copied().unwrap_or(0);
        if items > near.as_ref().map_or(0, |near| near.items) {
            near = Some(Near {
                store: store.clone(),
                items,
                of,
            });
        }
    }
    near
}

/// The items that are looked for: a page of one kind, or the first of each of several. The first page has what lies
/// in the near store before the others, so that a long list does not hide it.
async fn looked_for(
    tx: &mut Tx,
    look: &Look,
    near: Option<StoreId>,
) -> Result<(Vec<Item>, Option<Cursor>), DeedError> {
    let filter = |kind, store| ItemFilter {
        search: look.search.clone(),
        kind,
        store,
        without_retired: true,
        ..ItemFilter::default()
    };
    let sort = (ItemSort::Mark, Direction::Up);
    let kinds: Vec<Option<Kind>> = match look.kinds.as_slice() {
        [] => vec![None],
        some => some.iter().copied().map(Some).collect(),
    };
    let paged = kinds.len() == 1;
    let after = look.after.as_ref().filter(|_| paged);
    let (mut rows, mut next) = (Vec::new(), None);
    for kind in kinds {
        if near.is_some() && after.is_none() {
            let filter = filter(kind, near);
            rows.extend(tx.items(&filter, sort, None, CANDIDATES).await?.rows);
        }
        let page = tx
            .items(&filter(kind, None), sort, after, CANDIDATES)
            .await?;
        rows.extend(page.rows);
        next = page.next.filter(|_| paged);
    }
    let mut seen = HashSet::new();
    rows.retain(|item| seen.insert(item.id));
    Ok((rows, next))
}
