//! A kit put together for a job: for every open position an item that may go there, from what the register has.
//!
//! What is proposed satisfies every rule at once that [`fitness`](super::fitness::fitness) holds one item against,
//! ropes and devices held against each other among them; it comes from as few stores as possible, in these from as
//! few bags, beyond the place that the job takes from first, where it says one; and from these at the least cost, which is: first
//! as much as can be from that place, then nothing that is with another crew still where another
//! will do, then nothing that falls due soon after the job, then nothing that a tenth more load is too much for, then the
//! shortest ropes that are long enough, then no sheave or becket that is not asked for, then what leaves most to spare,
//! then the order of the marks. Whether the kit is strong enough the
//! solver says, and where a position stays empty as much of it as can be told; what fails is passed over and the search is
//! made again. Where nothing holds at a position, the one that lacks least is taken, wherever it lies.

mod classes;
mod cost;
mod forecast;
mod group;
mod instead;
mod lacking;
mod lying;
mod made;
mod matching;
mod missing;
mod places;
mod readiness;
mod reason;
mod record;
mod rounds;
mod search;
mod sets;
mod spare;
mod stock;
mod tripod;
mod worn;

use std::collections::HashMap;

use serde::Serialize;
use time::{Date, Duration};

pub use lacking::Lacking;
pub use missing::{Missing, Nearest};
pub use readiness::{Ended, Readiness, Span, Step, Why, readiness};

use super::fitness::{Circumstances, Elsewhere, KitItem, Plan};
use super::kit_strength::{KitVerdict, Outcome, Rest};
use super::{Item, ItemId, KitLineId, Model, Notice, NoticeClosing, Refusal, StoreId, Zone};
use rounds::Tried;
use stock::Market;

/// The days past the job's end within which an item that falls due is passed over where another will do.
const SPARE_DAYS: i64 = 30;

/// An item that may be taken, if it is fit.
#[derive(Clone, Copy, Debug)]
pub struct Offered<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its model.
    pub model: &'a Model,
    /// Whether it is with the crew of another job still, and must be counted back first.
    pub is_out: bool,
    /// The other planned jobs that hold it.
    pub elsewhere: &'a [Elsewhere],
}

/// What ends the use of an item on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    /// Its next examination is due on that day.
    Examination,
    /// It is the last day of its life.
    Life,
}

/// What a kit may be put together from.
#[derive(Clone, Debug)]
pub struct Stock<'a> {
    /// The items, in the order in which equal ones are taken.
    pub items: Vec<Offered<'a>>,
    /// For each bag that lies in a store, that store. A bag that stands by itself is a store.
    pub within: &'a HashMap<StoreId, StoreId>,
    /// What is on the kit list already and stays.
    pub kit: &'a [KitItem<'a>],
    /// The notices of the team about their makers.
    pub notices: &'a [Notice],
    /// Which of them are closed for which items.
    pub closings: &'a [NoticeClosing],
    /// The notices that are open for an item still, though a correction of its record took it out.
    pub still_open: &'a [(ItemId, Notice)],
    /// Today, in the team's time zone.
    pub today: Date,
    /// The team's time zone.
    pub zone: &'a Zone,
}

impl<'a> Stock<'a> {
    /// The store in which an item lies, and the bag in it, if it lies in one.
    fn lies(&self, item: &Item) -> (StoreId, Option<StoreId>) {
        match self.within.get(&item.store) {
            Some(store) => (*store, Some(item.store)),
            None => (item.store, None),
        }
    }

    fn circumstances<'b>(
        &'b self,
        kit: &'b [KitItem<'b>],
        elsewhere: &'b [Elsewhere],
    ) -> Circumstances<'b>
    where
        'a: 'b,
    {
        Circumstances {
            kit,
            notices: self.notices,
            closings: self.closings,
            still_open: self.still_open,
            elsewhere,
            today: self.today,
            zone: self.zone,
        }
    }

    /// The last day on which an item may be used, as its record stands, and what ends on it; none where no day ends its
    /// use. An examination can make the day a later one, nothing does so with a life.
    fn ends(&self, plan: &Plan<'_>, offered: &Offered<'_>) -> Option<(Date, Ending)> {
        let due = plan
            .days()
            .due_on(offered.item, offered.model)
            .map(|(day, _)| day);
        let due = due.map(|day| (day, Ending::Examination));
        let life = plan.days().life(offered.item, offered.model).ends_on();
        let life = life.and_then(Date::previous_day);
        let life = life.map(|day| (day, Ending::Life));
        life.into_iter().chain(due).min_by_key(|(day, _)| *day)
    }

    /// The last day on which an item may be used, as its record stands; none where no day ends its use.
    fn last_day(&self, plan: &Plan<'_>, offered: &Offered<'_>) -> Option<Date> {
        self.ends(plan, offered).map(|(day, _)| day)
    }

    /// Whether an item's use ends soon after the job.
    fn is_soon(&self, plan: &Plan<'_>, offered: &Offered<'_>) -> bool {
        let end = self.zone.day(plan.job.ends_at).max(self.today);
        let wanted = end.saturating_add(Duration::days(SPARE_DAYS));
        self.last_day(plan, offered).is_some_and(|day| day < wanted)
    }
}

/// A kit that would do, or as much of one as can be put together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Proposal {
    /// An item for a position each, in the order of the rig.
    pub picks: Vec<Pick>,
    /// The positions that nothing can be taken for, and why.
    pub missing: Vec<Missing>,
    /// The same of what people hang in: these may stay empty, and are then not judged.
    pub unworn: Vec<Missing>,
    /// The models whose records lack something for one of these, those of whose items most wait for nothing else first.
    pub lacking: Vec<Lacking>,
    /// The stores that the picks lie in beyond those of the items that were on the list, each once.
    pub stores: Vec<StoreId>,
    /// The bags in stores that the picks lie in beyond those of the items that were on the list, each once.
    pub bags: Vec<StoreId>,
    /// Whether it was proved that, beyond the place that the job takes from first, no fewer stores, no fewer bags of as few, and no less cost would do.
    pub is_least: bool,
    /// How many items were looked at.
    pub looked_at: usize,
    /// How many of them may go on the job at all.
    pub fit: usize,
    /// Whether the kit with the picks is strong enough.
    pub verdict: KitVerdict,
    /// Where a position stays empty: what can be judged of the others all the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest: Option<Rest>,
}

impl Proposal {
    /// Whether every position that must be is filled and the kit is strong enough.
    pub fn is_whole(&self) -> bool {
        self.missing.is_empty() && self.verdict.outcome == Outcome::StrongEnough
    }
}

/// An item for a position.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Pick {
    /// The position's key.
    pub position: String,
    /// The item.
    pub item: ItemId,
    /// The line of the list whose item stands there and may not go: this one takes its place.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Uuid>)]
    pub instead_of: Option<KitLineId>,
    /// That it is not strong enough there, in one sentence, with what it reaches against what is asked; none where it is, or
    /// where that cannot be told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fails: Option<String>,
    /// Why this one, a sentence each.
    pub why: Vec<String>,
}

/// Puts a kit together for the open positions of a job. Its ropes reach under every tripod that may go; where they do not,
/// under the lowest alone.
pub fn propose(plan: &Plan<'_>, stock: &Stock<'_>) -> Proposal {
    let proposal = propose_from(&plan.under(&stock.under(plan)), stock);
    if proposal.is_whole() {
        return proposal;
    }
    let lower = stock.without_high_tripods(plan).map(|lower| Proposal {
        looked_at: proposal.looked_at,
        ..propose_from(&plan.under(&lower.under(plan)), &lower)
    });
    lower.filter(Proposal::is_whole).unwrap_or(proposal)
}

fn propose_from(plan: &Plan<'_>, stock: &Stock<'_>) -> Proposal {
    let market = Market::with_worn(plan, stock).measured();
    let tried = rounds::nearest(plan, stock, &market);
    told(plan, stock, &market, tried)
}

fn told(plan: &Plan<'_>, stock: &Stock<'_>, market: &Market<'_>, tried: Tried) -> Proposal {
    let filling = &tried.filling;
    let room = market.room_with(&market.kit(filling)).unwrap_or_default();
    let mut picks = Vec::new();
    let on_list = market.lying.places_of_kit();
    let (mut stores, mut bags): (Vec<StoreId>, Vec<StoreId>) = Default::default();
    for (slot, name) in filling.names.iter().enumerate() {
        let Some(name) = *name else { continue };
        let offered = &stock.items[name];
        let (place, (store, bag)) = (market.place(name), stock.lies(offered.item));
        if !on_list.stores.contains(&place.store) && !stores.contains(&store) {
            stores.push(store);
        }
        let new = place.bag.is_some_and(|bag| !on_list.bags.contains(&bag));
        bags.extend(bag.filter(|bag| new && !bags.contains(bag)));
        picks.push(Pick {
            position: market.slots[slot].key().to_owned(),
            item: offered.item.id,
            instead_of: None,
            fails: reason::fails(&tried, market.slots[slot]),
            why: reason::why(plan, stock, (market, &tried, &room), slot, offered),
        });
    }
    let (missing, lacking) = missing::missing(plan, stock, market, filling);
    let is_optional = |missing: &Missing| {
        let position = plan.rig.position(&missing.position);
        position.is_some_and(crate::rigging::Position::is_optional)
    };
    let (unworn, missing) = missing.into_iter().partition(is_optional);
    Proposal {
        missing,
        unworn,
        lacking,
        picks,
        stores,
        bags,
        is_least: filling.is_least,
        looked_at: stock.items.len(),
        fit: market.groups.iter().map(|group| group.items.len()).sum(),
        verdict: tried.verdict,
        rest: tried.rest,
    }
}

/// Every reason against an item at a position, beside what is on the list and the picks.
fn against(
    plan: &Plan<'_>,
    stock: &Stock<'_>,
    kit: &[KitItem<'_>],
    offered: &Offered<'_>,
    position: &str,
) -> Vec<Refusal> {
    let candidate = KitItem {
        item: offered.item,
        model: offered.model,
        position: Some(position),
    };
    let circumstances = stock.circumstances(kit, offered.elsewhere);
    super::fitness::fitness(candidate, plan, &circumstances)
}
