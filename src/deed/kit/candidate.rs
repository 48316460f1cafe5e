//! What might go at a position: the fit ones first, and of those the ones that lie where the rest of the kit does.

use std::collections::{HashMap, HashSet, hash_map::Entry};

use super::{
    super::{DeedError, Desk, permit},
    bench::{Bench, Surroundings, with_models},
    proposal::{Source, of_kind},
};
use crate::{
    domain::{
        Actor, Candidate, Deed, Distance, Item, ItemId, JobId, Kind, KitEntry, KitLineId, KitList,
        Model, RefusalCode, Store, StoreId, fitness::KitItem, fold, kit_strength::gaps_of,
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

/// Items are read by their marks.
const BY_MARK: (ItemSort, Direction) = (ItemSort::Mark, Direction::Up);

impl Look {
    /// The kinds one by one; none is of whatever kind.
    fn each_kind(&self) -> Vec<Option<Kind>> {
        match self.kinds.as_slice() {
            [] => vec![None],
            some => some.iter().copied().map(Some).collect(),
        }
    }

    fn filter(&self, kind: Option<Kind>, store: Option<StoreId>) -> ItemFilter {
        ItemFilter {
            search: self.search.clone(),
            kind,
            store,
            without_retired: true,
            ..ItemFilter::default()
        }
    }
}

/// What a look found.
#[derive(Clone, Debug)]
pub struct Candidates {
    /// The one whose mark was looked for, then the fit ones; of those that are alike in that, the ones of the near store.
    pub rows: Vec<Candidate>,
    /// Where the next page begins.
    pub next: Option<Cursor>,
    /// How many items were judged, those that are not shown among them.
    pub judged: usize,
    /// Whether these are all that the first page looks among; else there was enough that may go before the end.
    pub all: bool,
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

/// How many candidates a page shows, and how many that may go the first page looks for.
const CANDIDATES: u32 = 40;
/// How many items are judged to find them, and how many of them are read at once.
const MOST_JUDGED: usize = 5_000;
const SOME: u32 = 250;

/// Items that might go on, the fit ones first, each of the others with every reason against it. The first page has what
/// may go from wherever in the list it stands, so that many that may not go do not hide it.
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
    let (items, next) = looked_for(&mut tx, look, near_id).await?;
    let found = Found::of(&mut tx, &bench, items).await?;
    let mut rows = found.judged(look, &bench, &stores);
    let (mut judged, mut all) = (rows.len(), true);
    if look.after.is_none() {
        let here = (&bench, stores.as_slice(), near_id);
        (judged, all) = beyond(&mut tx, here, look, &mut rows).await?;
    }
    let searched = fold(&look.search);
    rows.sort_by_key(|one| {
        let elsewhere = near_id.is_some_and(|near| one.item.store != near);
        let is_other = !searched.is_empty() && fold(&one.item.mark) != searched;
        (
            is_other,
            Distance::of(&one.refusals),
            one.gaps.len(),
            elsewhere,
        )
    });
    Ok(Candidates {
        rows,
        judged,
        all: all || next.is_none(),
        next,
        near,
    })
}

/// Adds what may go from beyond the first page, until there are enough of it, and from the near store first; gives how many
/// items were judged in all, and whether there is none beyond them.
async fn beyond(
    tx: &mut Tx,
    (bench, stores, near): (&Bench, &[Store], Option<StoreId>),
    look: &Look,
    rows: &mut Vec<Candidate>,
) -> Result<(usize, bool), DeedError> {
    // What stands at the position now is no reason against what might go there instead.
    let may_go = |one: &Candidate| {
        let mut against = one.refusals.iter().map(|refusal| refusal.code);
        against.all(|code| code == RefusalCode::PositionFilled)
    };
    let mut seen: HashSet<ItemId> = rows.iter().map(|one| one.item.id).collect();
    let mut fit = rows.iter().filter(|one| may_go(one)).count();
    let mut in_turn = Vec::new();
    for store in near.map(Some).into_iter().chain([None]) {
        in_turn.extend(look.each_kind().into_iter().map(|kind| (kind, store)));
    }
    let mut all = true;
    for (kind, store) in in_turn {
        let mut after = None;
        loop {
            if fit >= CANDIDATES as usize || seen.len() >= MOST_JUDGED {
                all = false;
                break;
            }
            let filter = look.filter(kind, store);
            let page = tx.items(&filter, BY_MARK, after.as_ref(), SOME).await?;
            let mut items = page.rows;
            items.retain(|item| seen.insert(item.id));
            let found = Found::of(tx, bench, items).await?;
            let mut further = found.judged(look, bench, stores);
            further.retain(may_go);
            further.truncate((CANDIDATES as usize).saturating_sub(fit));
            fit += further.len();
            rows.extend(further);
            after = page.next;
            if after.is_none() {
                break;
            }
        }
    }
    Ok((seen.len(), all))
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
                let elsewhere = |item: &Item| near.is_some_and(|near| item.store != near);
                let mut items = all_of(&mut tx, unread.key()).await?;
                items.sort_by_key(elsewhere);
                unread.insert(Found::of(&mut tx, &bench, items).await?)
            }
        };
        all.insert(entry.line.id, found.instead_of(entry, &bench, &stores));
    }
    Ok(all)
}

/// All items of these kinds that are not retired, as many as are judged at most.
async fn all_of(tx: &mut Tx, kinds: &[Kind]) -> Result<Vec<Item>, DeedError> {
    let from_everywhere = Source::default();
    let mut items = Vec::new();
    for kind in kinds {
        let most = MOST_JUDGED.saturating_sub(items.len());
        if most == 0 {
            break;
        }
        items.extend(of_kind(tx, *kind, &from_everywhere, most).await?.0);
    }
    Ok(items)
}

/// Items, and what the team knows about them.
struct Found {
    pairs: Vec<(Item, Model)>,
    around: Surroundings,
}

impl Found {
    async fn of(tx: &mut Tx, bench: &Bench, items: Vec<Item>) -> Result<Self, DeedError> {
        let pairs = with_models(tx, items).await?;
        let all = pairs.iter().map(|(item, model)| (item, model));
        let around = Surroundings::of(tx, (&bench.job, bench.now), all).await?;
        Ok(Self { pairs, around })
    }

    /// Each with every reason against it.
    fn judged(self, look: &Look, bench: &Bench, stores: &[Store]) -> Vec<Candidate> {
        let plan = bench.plan();
        let Self { pairs, around } = self;
        let judged = pairs.into_iter().map(|(item, model)| {
            let candidate = KitItem {
                item: &item,
                model: &model,
                position: look.position.as_deref(),
            };
            let refusals = bench.refusals(&plan, &around, candidate, None);
            let gaps = gaps_of(&plan, &candidate, &refusals);
            Candidate {
                with_crew: around.with_crew(item.id).cloned(),
                store: name_of(stores, item.store),
                item,
                model,
                refusals,
                gaps,
            }
        });
        judged.collect()
    }

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
    let kinds = look.each_kind();
    let paged = kinds.len() == 1;
    let after = look.after.as_ref().filter(|_| paged);
    let (mut rows, mut next) = (Vec::new(), None);
    for kind in kinds {
        if near.is_some() && after.is_none() {
            let filter = look.filter(kind, near);
            rows.extend(tx.items(&filter, BY_MARK, None, CANDIDATES).await?.rows);
        }
        let filter = look.filter(kind, None);
        let page = tx.items(&filter, BY_MARK, after, CANDIDATES).await?;
        rows.extend(page.rows);
        next = page.next.filter(|_| paged);
    }
    let mut seen = HashSet::new();
    rows.retain(|item| seen.insert(item.id));
    Ok((rows, next))
}
