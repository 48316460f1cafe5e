//! What a kit list is judged by, read at one moment.

use std::collections::{BTreeSet, HashMap, hash_map::Entry};

use time::{Date, OffsetDateTime};

use crate::{
    deed::{Chosen, DeedError, notice},
    domain::{
        IssueId, Item, ItemId, ItemOut, Job, JobId, Kind, KitEntry, KitLine, KitLineId, KitList,
        Model, Notice, NoticeClosing, Refusal, StoreId, WithCrew, Zone,
        fitness::{Circumstances, Elsewhere, KitItem, Plan, fitness},
        kit_strength::{Extent, kit_verdict},
        proposal::{Offered, Proposal, Readiness, Span, Stock, propose, readiness},
    },
    rigging::Position,
    store::Tx,
};

/// A job and what is on its list, read at one moment.
pub(super) struct Bench {
    pub(super) job: Job,
    pub(super) chosen: Chosen,
    kit: Vec<(KitLine, Item, Model)>,
    pub(super) now: OffsetDateTime,
    pub(super) zone: Zone,
}

impl Bench {
    /// A plan that is no job of the records, with nothing on its list.
    pub(super) fn empty(job: Job, chosen: Chosen, now: OffsetDateTime, zone: Zone) -> Self {
        Self {
            job,
            chosen,
            kit: Vec::new(),
            now,
            zone,
        }
    }

    pub(super) async fn load(
        tx: &mut Tx,
        id: JobId,
        now: OffsetDateTime,
    ) -> Result<Self, DeedError> {
        let job = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
        let chosen = Chosen::of(tx, &job).await?;
        let lines = tx.kit(id).await?;
        let ids: Vec<ItemId> = lines.iter().map(|line| line.item).collect();
        let items = tx.items_of(&ids).await?;
        let models: Vec<_> = items.values().map(|item| item.model).collect();
        let models = tx.models_of(&models).await?;
        let kit = lines
            .into_iter()
            .filter_map(|line| {
                let item = items.get(&line.item)?.clone();
                let model = models.get(&item.model)?.clone();
                Some((line, item, model))
            })
            .collect();
        let zone = tx.zone().await?;
        Ok(Self {
            job,
            chosen,
            kit,
            now,
            zone,
        })
    }

    /// Today, by the team's clocks.
    pub(super) fn today(&self) -> Date {
        self.zone.day(self.now)
    }

    /// The plan of the job.
    pub(super) fn plan(&self) -> Plan<'_> {
        self.chosen.plan(&self.job)
    }

    /// What is on the list.
    pub(super) fn items(&self) -> impl Iterator<Item = &Item> {
        self.kit.iter().map(|(_, item, _)| item)
    }

    /// Every reason against an item; `line` is its own line, if it is on the list.
    pub(super) fn refusals(
        &self,
        plan: &Plan<'_>,
        around: &Surroundings,
        candidate: KitItem<'_>,
        line: Option<KitLineId>,
    ) -> Vec<Refusal> {
        let others = self
            .kit
            .iter()
            .filter(|(other, _, _)| Some(other.id) != line);
        let kit: Vec<KitItem<'_>> = others.map(kit_item).collect();
        let elsewhere = around.elsewhere.get(&candidate.item.id);
        let circumstances = Circumstances {
            kit: &kit,
            notices: &around.notices,
            closings: &around.closings,
            still_open: &around.still_open,
            elsewhere: elsewhere.map_or(&[], Vec::as_slice),
            today: self.today(),
            zone: &self.zone,
        };
        fitness(candidate, plan, &circumstances)
    }

    /// A kit for the positions that are open, from what the register offers.
    pub(super) fn proposal(&self, around: &Surroundings, offered: &[(Item, Model)]) -> Proposal {
        let kit: Vec<KitItem<'_>> = self.kit.iter().map(kit_item).collect();
        propose(&self.plan(), &self.stock(around, offered, &kit))
    }

    /// How many complete sets could go out at once, if nothing were on any list but on the days that are `busy`.
    pub(super) fn readiness(
        &self,
        around: &Surroundings,
        offered: &[(Item, Model)],
        busy: &[Vec<Span>],
        until: Date,
    ) -> Option<Readiness> {
        readiness(&self.plan(), &self.stock(around, offered, &[]), busy, until)
    }

    /// What the register offers beside what is on the list.
    fn stock<'a>(
        &'a self,
        around: &'a Surroundings,
        offered: &'a [(Item, Model)],
        kit: &'a [KitItem<'a>],
    ) -> Stock<'a> {
        let items = offered.iter().map(|(item, model)| {
            let elsewhere = around.elsewhere.get(&item.id);
            Offered {
                item,
                model,
                is_out: around.out.contains_key(&item.id),
                elsewhere: elsewhere.map_or(&[], Vec::as_slice),
            }
        });
        Stock {
            items: items.collect(),
            within: &around.within,
            kit,
            notices: &around.notices,
            closings: &around.closings,
            still_open: &around.still_open,
            today: self.today(),
            zone: &self.zone,
        }
    }

    /// What the plan lacks to tell how long the ropes must be, a sentence each.
    pub(super) fn plan_lacks(&self) -> Vec<String> {
        let gaps = self.plan().rope.err().unwrap_or_default();
        gaps.iter().map(ToString::to_string).collect()
    }

    /// The kinds of gear that the positions of the rig take, each once.
    pub(super) fn kinds(&self) -> Vec<Kind> {
        let positions = self.chosen.rig.positions().iter();
        let accepted = positions.flat_map(Position::accepts);
        let kinds: BTreeSet<Kind> = accepted.filter_map(|word| Kind::from_word(word)).collect();
        kinds.into_iter().collect()
    }

    /// Takes a line off the list in what is judged next, and gives it.
    pub(super) fn take(&mut self, line: KitLineId) -> Option<KitLine> {
        let at = self.kit.iter().position(|(there, _, _)| there.id == line)?;
        Some(self.kit.remove(at).0)
    }

    /// Whether a line is on the list.
    pub(super) fn has(&self, line: KitLineId) -> bool {
        self.kit.iter().any(|(there, _, _)| there.id == line)
    }

    /// The item at a position.
    pub(super) fn item_at(&self, position: &str) -> Option<&Item> {
        let mut lines = self.kit.iter();
        let there = lines.find(|(line, _, _)| line.position.as_deref() == Some(position));
        there.map(|(_, item, _)| item)
    }

    /// Whether something fills a position.
    pub(super) fn fills(&self, position: &str) -> bool {
        self.item_at(position).is_some()
    }

    /// Takes an item for on the list in what is judged next.
    pub(super) fn put(&mut self, line: KitLine, item: Item, model: Model) {
        self.kit.push((line, item, model));
    }

    /// Every line of the list with what speaks against it.
    pub(super) async fn entries(&self, tx: &mut Tx) -> Result<Vec<KitEntry>, DeedError> {
        let records = self.kit.iter().map(|(_, item, model)| (item, model));
        let around = Surroundings::of(tx, (&self.job, self.now), records).await?;
        let plan = self.plan();
        let entry = |(line, item, model): &(KitLine, Item, Model)| {
            let candidate = KitItem::new(line, item, model);
            KitEntry {
                line: line.clone(),
                item: item.clone(),
                model: model.clone(),
                refusals: self.refusals(&plan, &around, candidate, Some(line.id)),
                with_crew: around.with_crew(item.id).cloned(),
            }
        };
        Ok(self.kit.iter().map(entry).collect())
    }

    pub(super) async fn judged(self, tx: &mut Tx, extent: Extent) -> Result<KitList, DeedError> {
        let entries = self.entries(tx).await?;
        let plan = self.plan();
        let kit: Vec<KitItem<'_>> = self.kit.iter().map(kit_item).collect();
        let verdict = kit_verdict(&plan, &kit, extent);
        Ok(KitList {
            load: plan.load,
            withdrawn: self.chosen.withdrawn,
            entries,
            verdict,
            rig: self.chosen.rig,
            job: self.job,
        })
    }
}

fn kit_item((line, item, model): &(KitLine, Item, Model)) -> KitItem<'_> {
    KitItem::new(line, item, model)
}

/// Items with their models.
pub(in crate::deed) async fn with_models(
    tx: &mut Tx,
    items: Vec<Item>,
) -> Result<Vec<(Item, Model)>, DeedError> {
    let models: Vec<_> = items.iter().map(|item| item.model).collect();
    let models = tx.models_of(&models).await?;
    let pair = |item: Item| {
        let model = models.get(&item.model)?.clone();
        Some((item, model))
    };
    Ok(items.into_iter().filter_map(pair).collect())
}

/// What the team knows about some items at the time of a job.
pub(super) struct Surroundings {
    notices: Vec<Notice>,
    closings: Vec<NoticeClosing>,
    still_open: Vec<(ItemId, Notice)>,
    elsewhere: HashMap<ItemId, Vec<Elsewhere>>,
    out: HashMap<ItemId, WithCrew>,
    within: HashMap<StoreId, StoreId>,
}

impl Surroundings {
    /// The same with which bags lie in which stores.
    pub(super) async fn with_bags(mut self, tx: &mut Tx) -> Result<Self, DeedError> {
        let bags = tx.bags().await?.into_iter();
        self.within = bags
            .filter_map(|bag| Some((bag.store, bag.within?)))
            .collect();
        Ok(self)
    }

    /// With which other job's crew an item is.
    pub(super) fn with_crew(&self, item: ItemId) -> Option<&WithCrew> {
        self.out.get(&item)
    }

    /// The same as if no other job held anything.
    pub(super) fn alone(mut self) -> Self {
        self.elsewhere.clear();
        self.out.clear();
        self
    }

    pub(super) async fn of<'a>(
        tx: &mut Tx,
        (job, now): (&Job, OffsetDateTime),
        items: impl IntoIterator<Item = (&'a Item, &'a Model)>,
    ) -> Result<Self, DeedError> {
        let pairs: Vec<_> = items.into_iter().collect();
        let ids: Vec<ItemId> = pairs.iter().map(|(item, _)| item.id).collect();
        let notice::About {
            notices,
            closings,
            still_open,
        } = notice::about(tx, pairs).await?;
        let mut out = with_crews(tx, now, &ids).await?;
        out.retain(|_, with| with.job != job.id);
        let mut elsewhere = elsewhere(tx, (job, now), &ids, &out).await?;
        for (item, with) in &out {
            let others = elsewhere.entry(*item).or_default();
            others.extend(with.keeps_from(job, now));
        }
        Ok(Self {
            notices,
            closings,
            still_open,
            elsewhere,
            out,
            within: HashMap::new(),
        })
    }
}

/// With which jobs' crews the items are.
pub(in crate::deed) async fn with_crews(
    tx: &mut Tx,
    now: OffsetDateTime,
    items: &[ItemId],
) -> Result<HashMap<ItemId, WithCrew>, DeedError> {
    let out = tx.out_of(items).await?;
    let mut issues: HashMap<IssueId, WithCrew> = HashMap::new();
    for out in out.values() {
        if let Entry::Vacant(unknown) = issues.entry(out.issue)
            && let Some(issue) = tx.issue(out.issue).await?
        {
            unknown.insert(WithCrew::of(&issue, now));
        }
    }
    let with = |(item, out): (ItemId, ItemOut)| Some((item, issues.get(&out.issue)?.clone()));
    Ok(out.into_iter().filter_map(with).collect())
}

/// The other jobs that hold the items at the time of this one, with who planned each; without those whose crew has the
/// item out and keeps it so.
async fn elsewhere(
    tx: &mut Tx,
    (job, now): (&Job, OffsetDateTime),
    items: &[ItemId],
    out: &HashMap<ItemId, WithCrew>,
) -> Result<HashMap<ItemId, Vec<Elsewhere>>, DeedError> {
    let mut found: HashMap<ItemId, Vec<Elsewhere>> = HashMap::new();
    let mut jobs: HashMap<JobId, Elsewhere> = HashMap::new();
    for booking in tx.bookings(items, job.starts_at, job.ends_at).await? {
        let with = out.get(&booking.item);
        let is_out =
            with.is_some_and(|with| with.job == booking.job && with.keeps_from(job, now).is_some());
        if booking.job == job.id || is_out {
            continue;
        }
        let elsewhere = match jobs.entry(booking.job) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(unknown) => unknown.insert(told(tx, booking.job).await?),
        };
        found
            .entry(booking.item)
            .or_default()
            .push(elsewhere.clone());
    }
    Ok(found)
}

/// What the crew is told of another job.
async fn told(tx: &mut Tx, id: JobId) -> Result<Elsewhere, DeedError> {
    let other = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
    Ok(Elsewhere {
        title: other.title,
        starts_at: other.starts_at,
        ends_at: other.ends_at,
        who: planner(tx, id).await?,
        is_out: false,
    })
}

async fn planner(tx: &mut Tx, job: JobId) -> Result<String, DeedError> {
    let planned = tx.last_of_kind(job.0, "job-planned").await?;
    let person = match planned {
        Some(entry) => tx.person(entry.actor).await?,
        None => None,
    };
    Ok(person.map_or_else(|| "somebody who has left".to_owned(), |person| person.name))
}
