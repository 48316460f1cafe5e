//! Many changes at once, as an import makes them: the same entries and the same rows as one by one, in few statements.

use std::collections::HashMap;

use time::OffsetDateTime;

use super::{Recorded, StoreError, WriteTx};
use crate::domain::{Actor, Change, Entry, Examination, Item, ItemId};

/// Items that are new in a batch, as its later changes leave them, and their examinations.
#[derive(Default)]
struct Fresh<'a> {
    items: Vec<Item>,
    places: HashMap<ItemId, usize>,
    examinations: Vec<(&'a Examination, Recorded)>,
}

impl Fresh<'_> {
    fn item(&mut self, id: ItemId) -> Option<&mut Item> {
        self.places.get(&id).map(|place| &mut self.items[*place])
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
        let mut lines = Vec::new();
        for (seq, change) in (self.next_seq()..).zip(changes) {
            let entry = Entry {
                seq,
                team: self.team,
                recorded_at: at,
                actor: actor.person,
                change,
            };
            let payload = entry
                .canonical()
                .map_err(|e| StoreError::corrupt("ledger_entry", "payload")(e.into()))?;
            lines.push((entry, payload));
        }
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
            let at = entry.recorded_at;
            let gathered = match &entry.change {
                Change::ItemAdded(item) => {
                    fresh.places.insert(item.id, fresh.items.len());
                    fresh.items.push(item.clone());
                    true
                }
                Change::ExaminationRecorded(examination) => match fresh.item(examination.item) {
                    Some(item) => {
                        *item = item.clone().examined(examination, at)?;
                        fresh.examinations.push((examination, *recorded));
                        true
                    }
                    None => false,
                },
                Change::ItemStepped(step) => match fresh.item(step.item) {
                    Some(item) => {
                        *item = item.clone().stepped(step, at)?;
                        true
                    }
                    None => false,
                },
                _ => false,
            };
            if !gathered {
                // It may touch what was gathered.
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
