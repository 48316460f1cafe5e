//! What the register offers for the open positions of a job: what may go, where, and with which ropes.

use std::collections::{BTreeMap, HashMap};

use super::group::{Group, groups};
use super::lying::Lying;
use super::places::Place;
use super::record::Record;
use super::search::{DEAREST, Filling, Offer};
use super::spare::Room;
use super::worn::harness_before_litter;
use super::{Offered, Stock};
use crate::domain::fitness::{KitItem, Plan, fitness, is_right_kind, needed, through};
use crate::domain::kit_strength::{gaps_of, places_unworn};
use crate::domain::{Kind, Model, ModelId};
use crate::rigging::Position;

/// How many combinations of ropes are tried.
pub(super) const MOST_COMBINATIONS: usize = 2_048;

/// What of a rope a device meets: its diameter in micrometres and its kind.
type RopeClass = (Option<i64>, Option<String>);

/// The open positions of a job, and what the register offers for them.
pub(super) struct Market<'a> {
    pub(super) plan: &'a Plan<'a>,
    pub(super) stock: &'a Stock<'a>,
    pub slots: Vec<&'a Position>,
    pub groups: Vec<Group<'a>>,
    /// For each slot and group, whether it may go there before the other new items are looked at.
    pub(super) suits: Vec<Vec<bool>>,
    /// For each slot the ropes among the open slots that run through it.
    pub(super) ropes_at: Vec<Vec<usize>>,
    /// For each item of the stock, whether its use ends soon after the job.
    pub(super) soon: Vec<bool>,
    /// How much what may go there leaves over at each slot; nothing where that was not looked at.
    pub(super) room: Room,
    /// Where what is offered lies.
    pub lying: Lying<'a>,
}

impl<'a> Market<'a> {
    /// The positions that must be filled and are not.
    pub(super) fn of(plan: &'a Plan<'a>, stock: &'a Stock<'a>) -> Self {
        Self::of_slots(plan, stock, &[])
    }

    /// These, and where people hang on the rope, what they hang in.
    pub(super) fn with_worn(plan: &'a Plan<'a>, stock: &'a Stock<'a>) -> Self {
        let is_filled = |key: &str| stock.kit.iter().any(|item| item.position == Some(key));
        let setup = &plan.job.setup;
        let people = plan.job.people().filter(|_| !setup.own_harness);
        let worn = places_unworn(plan.rig, people.unwrap_or(0), is_filled);
        let worn: Vec<&str> = worn.into_iter().map(Position::key).collect();
        Self::of_slots(plan, stock, &worn)
    }

    fn of_slots(plan: &'a Plan<'a>, stock: &'a Stock<'a>, worn: &[&str]) -> Self {
        let is_open = |position: &&Position| {
            let mut kit = stock.kit.iter();
            let is_asked = !position.is_optional() || worn.contains(&position.key());
            is_asked && !kit.any(|item| item.position == Some(position.key()))
        };
        let positions = plan.rig.positions().iter();
        let slots: Vec<&Position> = positions.filter(is_open).collect();
        let ropes_at = slots.iter().map(|slot| ropes_at(plan, slot, &slots));
        let items = stock.items.iter();
        let soon: Vec<bool> = items.map(|offered| stock.is_soon(plan, offered)).collect();
        let mut market = Self {
            plan,
            stock,
            ropes_at: ropes_at.collect(),
            groups: groups(plan, stock, &soon),
            soon,
            lying: Lying::of(stock, plan.job.first_from),
            suits: Vec::new(),
            room: Room::default(),
            slots,
        };
        market.suits = market.suits();
        market
    }

    fn suits(&self) -> Vec<Vec<bool>> {
        let slots = self.slots.iter();
        slots.map(|position| self.suits_at(position)).collect()
    }

    /// For each group whether it may go at a position with all that the verdict needs on record; where none may, one
    /// with which only the catch stays open will do.
    fn suits_at(&self, position: &Position) -> Vec<bool> {
        let mut known: HashMap<ModelId, Record> = HashMap::new();
        let mut record = |group: &Group<'_>| {
            let item = self.at(group, position);
            if !is_right_kind(group.model.kind, position) || !self.may_go(item, self.stock.kit) {
                return None;
            }
            let of_model = known.entry(group.model.id);
            Some(*of_model.or_insert_with(|| Record::of(&gaps_of(self.plan, &item, &[]))))
        };
        let records: Vec<Option<Record>> = self.groups.iter().map(&mut record).collect();
        let best = records.iter().flatten().min();
        let best = best.filter(|best| **best < Record::Open);
        records
            .iter()
            .map(|record| record.is_some() && record.as_ref() == best)
            .collect()
    }

    /// How many of the slots that must be filled are. What a person hangs in may stay empty if nothing holds.
    pub(super) fn filled_that_must(&self, filling: &Filling) -> usize {
        let names = filling.names.iter().zip(&self.slots);
        names
            .filter(|(name, position)| name.is_some() && !position.is_optional())
            .count()
    }

    /// What is on the list, and beside it what fills the slots.
    pub(super) fn kit(&self, filling: &Filling) -> Vec<KitItem<'a>> {
        let mut kit = self.stock.kit.to_vec();
        let names = filling.names.iter().enumerate();
        kit.extend(names.filter_map(|(slot, name)| {
            let offered = &self.stock.items[(*name)?];
            Some(KitItem {
                item: offered.item,
                model: offered.model,
                position: Some(self.slots[slot].key()),
            })
        }));
        kit
    }

    pub(super) fn at<'b>(&self, group: &Group<'b>, position: &'b Position) -> KitItem<'b>
    where
        'a: 'b,
    {
        KitItem {
            item: self.stock.items[group.items[0]].item,
            model: group.model,
            position: Some(position.key()),
        }
    }

    /// Whether an item of which nothing else is known to speak against it may go where it is put.
    fn may_go(&self, item: KitItem<'_>, kit: &[KitItem<'_>]) -> bool {
        fitness(item, self.plan, &self.stock.circumstances(kit, &[])).is_empty()
    }

    /// The kinds of rope that the open rope slots can have: for each combination, the group whose rope stands for
    /// it at each slot that takes a rope. One empty combination where no slot does.
    pub(super) fn combinations(&self) -> Vec<BTreeMap<usize, usize>> {
        let mut combinations = vec![BTreeMap::new()];
        for (slot, position) in self.slots.iter().enumerate() {
            let meets = self.ropes_at.iter().any(|ropes| ropes.contains(&slot));
            if !meets || !is_right_kind(Kind::Rope, position) {
                continue;
            }
            let mut classes: BTreeMap<RopeClass, usize> = BTreeMap::new();
            for (index, group) in self.groups.iter().enumerate() {
                if self.suits[slot][index] {
                    classes.entry(class(group.model)).or_insert(index);
                }
            }
            if classes.is_empty() {
                continue;
            }
            combinations = combinations
                .iter()
                .flat_map(|before| {
                    classes.values().map(move |group| {
                        let mut with = before.clone();
                        with.insert(slot, *group);
                        with
                    })
                })
                .take(MOST_COMBINATIONS)
                .collect();
        }
        combinations
    }

    /// What may go where, once the kinds of the ropes are settled and some models are `barred` from some slots.
    pub(super) fn offers(
        &self,
        ropes: &BTreeMap<usize, usize>,
        barred: &[(usize, ModelId)],
        meeting: &mut Meeting,
    ) -> Vec<Offer> {
        let mut fits: Vec<Vec<bool>> = Vec::new();
        for (index, group) in self.groups.iter().enumerate() {
            let mut open = self.fitting(index, ropes, meeting);
            for (slot, model) in barred {
                open[*slot] &= *model != group.model.id;
            }
            fits.push(open);
        }
        harness_before_litter(&self.groups, &self.slots, self.plan.job.case, &mut fits);
        let mut offers = Vec::new();
        for (index, open) in fits.iter().enumerate() {
            if open.iter().any(|open| *open) {
                self.offer(index, open, &mut offers);
            }
        }
        offers
    }

    /// For each slot whether a group can take it, once the kinds of the ropes are settled.
    pub(super) fn fitting(
        &self,
        group: usize,
        ropes: &BTreeMap<usize, usize>,
        meeting: &mut Meeting,
    ) -> Vec<bool> {
        (0..self.slots.len())
            .map(|slot| self.suits[slot][group] && self.fits(slot, group, ropes, meeting))
            .collect()
    }

    /// Of each place as many of a group as there are slots: more of the same would change nothing.
    fn offer(&self, index: usize, open: &[bool], offers: &mut Vec<Offer>) {
        let group = &self.groups[index];
        let alike: Vec<i64> = (0..open.len())
            .map(|slot| self.cost_of_group(slot, index))
            .collect();
        let mut taken: BTreeMap<Place, usize> = BTreeMap::new();
        for &item in &group.items {
            let place = self.place(item);
            let count = taken.entry(place).or_default();
            *count += 1;
            if *count > open.len() {
                continue;
            }
            let costs = open.iter().enumerate();
            let costs = costs.map(|(slot, open)| {
                open.then(|| (self.cost(slot, group.model, item) + alike[slot]).min(DEAREST))
            });
            offers.push(Offer {
                name: item,
                place,
                costs: costs.collect(),
            });
        }
    }

    /// Whether a group fits the ropes that run through a slot, or is of the kind of rope that is settled for it.
    fn fits(
        &self,
        slot: usize,
        index: usize,
        ropes: &BTreeMap<usize, usize>,
        meeting: &mut Meeting,
    ) -> bool {
        let model = self.groups[index].model;
        if model.kind == Kind::Rope {
            let settled = ropes.get(&slot);
            return settled
                .is_none_or(|settled| class(self.groups[*settled].model) == class(model));
        }
        let ropes_at = self.ropes_at[slot].iter();
        let through: Vec<(usize, usize)> = ropes_at
            .filter_map(|rope| Some((*rope, *ropes.get(rope)?)))
            .collect();
        if through.is_empty() {
            return true;
        }
        let known = meeting.0.entry((slot, index, through.clone()));
        *known.or_insert_with(|| {
            let mut kit = self.stock.kit.to_vec();
            let ropes = through.iter();
            kit.extend(ropes.map(|(rope, group)| self.at(&self.groups[*group], self.slots[*rope])));
            self.may_go(self.at(&self.groups[index], self.slots[slot]), &kit)
        })
    }

    /// Where an item of the stock lies.
    pub(super) fn place(&self, item: usize) -> Place {
        self.lying.place(self.stock.items[item].item)
    }

    /// The model of an item of the stock.
    pub(super) fn model(&self, item: usize) -> ModelId {
        self.stock.items[item].model.id
    }

    /// How much longer a rope is than a slot needs, in metres.
    pub(super) fn surplus(&self, slot: usize, offered: &Offered<'_>) -> Option<f64> {
        let need = self.plan.rope.as_ref().ok()?;
        let key = self.slots[slot].key();
        let needed = needed(need, key)?;
        let length = offered.item.attributes.length("length")?.quantity();
        Some(length.metres() - needed.length.metres())
    }

    /// Of the items that may go, those groups that fit a slot beside what fills the others, its ropes among it, each with
    /// how many items of it; what is taken for another slot counts for none.
    pub(super) fn choice_beside(&self, slot: usize, filling: &Filling) -> Vec<(usize, usize)> {
        let mut others = Filling {
            names: filling.names.clone(),
            ..Filling::nothing(self.slots.len())
        };
        others.names[slot] = None;
        let kit = self.kit(&others);
        let fits = |group: &Group<'_>| {
            let free = |item: &&usize| !others.names.contains(&Some(**item));
            let mut free = group.items.iter().filter(free);
            let first = free.next()?;
            let item = KitItem {
                item: self.stock.items[*first].item,
                model: group.model,
                position: Some(self.slots[slot].key()),
            };
            self.may_go(item, &kit).then(|| free.count() + 1)
        };
        let groups = self.groups.iter().enumerate();
        let suiting = groups.filter(|(index, _)| self.suits[slot][*index]);
        suiting
            .filter_map(|(index, group)| Some((index, fits(group)?)))
            .collect()
    }

    /// The group of each item that may go.
    pub(super) fn groups_of_items(&self) -> HashMap<usize, usize> {
        let groups = self.groups.iter().enumerate();
        groups
            .flat_map(|(index, group)| group.items.iter().map(move |item| (*item, index)))
            .collect()
    }

    /// The items that suit a slot, whatever ropes the others are.
    pub(super) fn choices(&self, slot: usize) -> Vec<usize> {
        let groups = self.groups.iter().enumerate();
        groups
            .filter(|(index, _)| self.suits[slot][*index])
            .flat_map(|(_, group)| group.items.iter().copied())
            .collect()
    }
}

/// A slot, a group for it, and the ropes that run through it: the slot and the group of each.
type Met = (usize, usize, Vec<(usize, usize)>);

/// Whether devices fit ropes, as far as it was asked.
#[derive(Default)]
pub(super) struct Meeting(HashMap<Met, bool>);

fn class(model: &Model) -> RopeClass {
    let diameter = model.attributes.length("diameter");
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a rope is less than a kilometre thick"
    )]
    let diameter =
        diameter.map(|diameter| (diameter.quantity().millimetres() * 1e3).round() as i64);
    let kind = model.attributes.text("rope-kind").map(str::to_owned);
    (diameter, kind)
}

/// The open slots whose rope runs through a slot.
fn ropes_at(plan: &Plan<'_>, slot: &Position, slots: &[&Position]) -> Vec<usize> {
    let ropes = through(plan.rig, slot.key());
    let open = slots.iter().enumerate();
    open.filter(|(_, position)| ropes.contains(&position.key()))
        .map(|(index, _)| index)
        .collect()
}
