//! Changes applied in their order, many of them in few statements: the same rows as one by one.
//!
//! What happens to items is most of what happens. A run of such changes reads the items that it is about once, follows
//! them in memory, and writes each once as the last change leaves it. Every other change is applied by itself, when all
//! before it is written.

use std::collections::{HashMap, HashSet};

use time::OffsetDateTime;

use super::{Recorded, StoreError, WriteTx};
use crate::domain::{Actor, Change, Entry, Event, Examination, Item, ItemId, Usage, Zone};

/// The item that a change happens to and that alone, beside what it adds itself: such changes make a run.
fn item_of(change: &Change) -> Option<ItemId> {
    match change {
        Change::ItemAdded(item) => Some(item.id),
        Change::ItemStepped(step) => Some(step.item),
        Change::ReturnAsked(asked) => Some(asked.item),
        Change::ExaminationRecorded(examination) => Some(examination.item),
        Change::UsageLogged(usage) => Some(usage.item),
        Change::EventReported(event) => Some(event.item),
        _ => None,
    }
}

type Line<'a> = (&'a Entry<Change>, Recorded);

/// The items of a run as the changes so far leave them, and what these add beside them.
#[derive(Default)]
struct Run<'a> {
    items: Vec<Held>,
    places: HashMap<ItemId, usize>,
    examinations: Vec<(&'a Examination, Recorded)>,
    usages: Vec<(&'a Usage, Recorded)>,
    events: Vec<(&'a Event, Recorded)>,
    /// The team's zone, where an examination is among the changes.
    zone: Option<Zone>,
}

struct Held {
    /// As the changes so far leave it; away only while one is followed, and after one that could not be.
    item: Option<Item>,
    /// The revision that is in the table; none if the item is not there yet.
    kept: Option<u32>,
}

impl<'a> Run<'a> {
    fn hold(&mut self, item: Item, kept: Option<u32>) {
        self.places.insert(item.id, self.items.len());
        let item = Some(item);
        self.items.push(Held { item, kept });
    }

    /// Follows one change.
    fn follow(&mut self, (entry, recorded): Line<'a>) -> Result<(), StoreError> {
        let at = entry.recorded_at;
        if let Change::ItemAdded(item) = &entry.change {
            self.hold(item.clone(), None);
            return Ok(());
        }
        let place = item_of(&entry.change).and_then(|id| self.places.get(&id));
        let held = &mut self.items[*place.ok_or(StoreError::Unlinked)?];
        let item = held.item.take().ok_or(StoreError::Unlinked)?;
        held.item = Some(match &entry.change {
            Change::ItemStepped(step) => item.stepped(step, at)?,
            Change::ReturnAsked(asked) => item.asked_back(asked)?,
            Change::ExaminationRecorded(examination) => {
                let zone = self.zone.as_ref().ok_or(StoreError::NoTeam)?;
                self.examinations.push((examination, recorded));
                item.examined(examination, at, zone)?
            }
            Change::UsageLogged(usage) => {
                self.usages.push((usage, recorded));
                item.after_use(usage)
            }
            Change::EventReported(event) => {
                self.events.push((event, recorded));
                item.after_event(event, at)
            }
            _ => item,
        });
        Ok(())
    }
}

impl WriteTx {
    /// Records changes in their order: what [`WriteTx::record`] does for each. Where `at` lies before the moment of the
    /// last entry, they are recorded at that one.
    ///
    /// # Errors
    /// As [`WriteTx::record`]. After an error nothing of this transaction can be kept.
    pub async fn record_all(
        &mut self,
        actor: &Actor,
        at: OffsetDateTime,
        changes: impl IntoIterator<Item = Change>,
    ) -> Result<(), StoreError> {
        if actor.team != self.team {
            self.conn.failed = true;
            return Err(StoreError::NoTeam);
        }
        let (team, person) = (self.team, actor.person);
        let at = self.moment(at).await?;
        let entries = (self.next_seq()..).zip(changes).map(|(seq, change)| Entry {
            seq,
            team,
            recorded_at: at,
            actor: person,
            change,
        });
        let lines = self.payloads(entries.collect()).await?;
        self.replay(&lines).await.map(drop)
    }

    /// Appends entries under their bytes and applies their changes; gives where they were recorded.
    pub(super) async fn replay(
        &mut self,
        lines: &[(Entry<Change>, String)],
    ) -> Result<Vec<Recorded>, StoreError> {
        let recorded = self.append(lines).await?;
        let entries = lines.iter().map(|(entry, _)| entry);
        let entries: Vec<Line<'_>> = entries.zip(recorded.iter().copied()).collect();
        let applied = self.apply_all(&entries).await;
        if applied.is_err() {
            // Also where the database had nothing against it: half a change must not be kept.
            self.conn.failed = true;
        }
        applied.map(|()| recorded)
    }

    async fn apply_all(&mut self, lines: &[Line<'_>]) -> Result<(), StoreError> {
        let in_run = |line: &Line<'_>| item_of(&line.0.change).is_some();
        for lines in lines.chunk_by(|one, next| in_run(one) && in_run(next)) {
            match lines {
                [(entry, recorded)] if item_of(&entry.change).is_none() => {
                    self.apply(entry, *recorded).await?;
                }
                run => self.apply_run(run).await?,
            }
        }
        Ok(())
    }

    async fn apply_run(&mut self, lines: &[Line<'_>]) -> Result<(), StoreError> {
        let mut run = self.take_up(lines).await?;
        for line in lines {
            run.follow(*line)?;
        }
        let (mut added, mut changed) = (Vec::new(), Vec::new());
        for Held { item, kept } in run.items {
            let item = item.ok_or(StoreError::Unlinked)?;
            match kept {
                None => added.push(item),
                Some(revision) if revision != item.revision => changed.push(item),
                Some(_) => {}
            }
        }
        self.add_items(&added).await?;
        self.save_items(&changed).await?;
        self.add_examinations(&run.examinations).await?;
        self.add_usages(&run.usages).await?;
        self.add_events(&run.events).await
    }

    /// Reads what a run is about: the items that it does not add itself.
    async fn take_up<'a>(&mut self, lines: &[Line<'a>]) -> Result<Run<'a>, StoreError> {
        let mut run = Run::default();
        let (mut added, mut named) = (HashSet::new(), Vec::new());
        for (entry, _) in lines {
            match (&entry.change, item_of(&entry.change)) {
                (Change::ItemAdded(item), _) => {
                    added.insert(item.id);
                }
                (_, Some(id)) if !added.contains(&id) => named.push(id),
                _ => {}
            }
        }
        named.sort_unstable();
        named.dedup();
        for item in self.items_of(&named).await?.into_values() {
            let kept = Some(item.revision);
            run.hold(item, kept);
        }
        let examined =
            |(entry, _): &Line<'_>| matches!(entry.change, Change::ExaminationRecorded(_));
        if lines.iter().any(examined) {
            run.zone = Some(self.zone().await?);
        }
        Ok(run)
    }
}
