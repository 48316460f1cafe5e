//! Many changes at once, as an import makes them: the same entries and the same rows as one by one, in few statements.

use std::collections::HashMap;

use time::OffsetDateTime;

use super::{Recorded, StoreError, WriteTx};
use crate::domain::{Actor, Change, Entry, Examination, Item, ItemId, Zone};

/// Items that are new in a batch, as its later changes leave them, and their examinations.
#[derive(Default)]
struct Fresh<'a> {
    items: Vec<Item>,
    places: HashMap<ItemId, usize>,
    examinations: Vec<(&'a Examination, Recorded)>,
    /// The team's zone, once it is asked for.
    zone: Option<Zone>,
}

impl<'a> Fresh<'a> {
    /// Takes a change in if it adds an item or is about one that was added here.
    fn gather(&mut self, entry: &'a Entry<Change>, recorded: Recorded) -> Result<bool, StoreError> {
        let at = entry.recorded_at;
        match &entry.change {
            Change::ItemAdded(item) => {
                self.places.insert(item.id, self.items.len());
                self.items.push(item.clone());
            }
            Change::ExaminationRecorded(examination) => {
                let place = self.places.get(&examination.item);
                let (Some(place), Some(zone)) = (place, &self.zone) else {
                    return Ok(false);
                };
                let item = &mut self.items[*place];
                *item = item.clone().examined(examination, at, zone)?;
                self.examinations.push((examination, recorded));
            }
            Change::ItemStepped(step) => {
                let Some(place) = self.places.get(&step.item) else {
                    return Ok(false);
                };
                let item = &mut self.items[*place];
                *item = item.clone().stepped(step, at)?;
            }
            _ => return Ok(false),
        }
        Ok(true)
    }
}

impl WriteTx {
    /// Records changes in their order: what [`WriteTx::record`] does for each.
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
        let entries = (self.next_seq()..).zip(changes).map(|(seq, change)| Entry {
            seq,
            team,
            recorded_at: at,
            actor: person,
            change,
        });
        let lines = self.payloads(entries.collect()).await?;
        self.replay(&lines).await
    }

    /// Appends entries under their bytes and applies their changes.
    pub(super) async fn replay(
        &mut self,
        lines: &[(Entry<Change>, String)],
    ) -> Result<(), StoreError> {
        let recorded = self.append(lines).await?;
        let applied = match (lines, recorded.as_slice()) {
            ([(entry, _)], [recorded]) => self.apply(entry, *recorded).await,
            (lines, recorded) => self.apply_all(lines, recorded).await,
        };
        if applied.is_err() {
            // Also where the database had nothing against it: half a change must not be kept.
            self.conn.failed = true;
        }
        applied
    }

    async fn apply_all(
        &mut self,
        lines: &[(Entry<Change>, String)],
        recorded: &[Recorded],
    ) -> Result<(), StoreError> {
        let mut fresh = Fresh::default();
        for ((entry, _), recorded) in lines.iter().zip(recorded) {
            if fresh.zone.is_none() && matches!(entry.change, Change::ExaminationRecorded(_)) {
                fresh.zone = Some(self.zone().await?);
            }
            if !fresh.gather(entry, *recorded)? {
                // It may touch what was gathered, or change the zone in which days are counted.
                self.save(std::mem::take(&mut fresh)).await?;
                self.apply(entry, *recorded).await?;
            }
        }
        self.save(fresh).await
    }

    async fn save(&mut self, fresh: Fresh<'_>) -> Result<(), StoreError> {
        self.add_items(&fresh.items).await?;
        self.add_examinations(&fresh.examinations).await
    }
}
