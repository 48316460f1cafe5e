//! The one door for writes: every change of a record goes to the ledger and to the tables, or to neither.

use time::OffsetDateTime;

use super::{Recorded, StoreError, WriteTx};
use crate::domain::{Actor, Change, Entry};

impl WriteTx {
    /// Records a change: appends it to the team's ledger and applies it to the tables. Nothing else writes records.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Taken`], [`StoreError::Unlinked`], [`StoreError::Booked`] or
    /// [`StoreError::Refused`] where the change does not go on what is there. After an error nothing of this
    /// transaction can be kept.
    pub async fn record(
        &mut self,
        actor: &Actor,
        at: OffsetDateTime,
        change: Change,
    ) -> Result<Recorded, StoreError> {
        if actor.team != self.team {
            self.conn.failed = true;
            return Err(StoreError::NoTeam);
        }
        let entry = Entry {
            seq: self.next_seq(),
            team: self.team,
            recorded_at: at,
            actor: actor.person,
            change,
        };
        let payload = entry
            .canonical()
            .map_err(|e| StoreError::corrupt("ledger_entry", "payload")(e.into()))?;
        self.replay(&entry, &payload).await
    }

    /// Appends an entry under its bytes and applies its change.
    pub(super) async fn replay(
        &mut self,
        entry: &Entry<Change>,
        payload: &str,
    ) -> Result<Recorded, StoreError> {
        let recorded = self.append(entry, payload).await?;
        let applied = self.apply(entry, recorded).await;
        if applied.is_err() {
            // Also where the database had nothing against it: half a change must not be kept.
            self.conn.failed = true;
        }
        applied.map(|()| recorded)
    }

    async fn apply(&mut self, entry: &Entry<Change>, recorded: Recorded) -> Result<(), StoreError> {
        let at = entry.recorded_at;
        match &entry.change {
            Change::TeamFounded(team) | Change::TeamRevised(team) => self.save_team(team).await,
            Change::PersonAdded(person) => self.add_person(person).await,
            Change::PersonRevised(person) => self.revise_person(person).await,
            Change::StoreAdded(store) => self.add_store(store).await,
            Change::StoreRevised(store) => self.revise_store(store).await,
            Change::ModelAdded(model) => self.add_model(model).await,
            Change::ModelRevised(model) => self.revise_model(model).await,
            Change::ItemAdded(item) => self.add_item(item).await,
            Change::ItemRevised(item) => self.revise_item(item).await,
            Change::ItemStepped(step) => {
                let item = self.item_there(step.item).await?;
                self.save_item(&item.stepped(step, at)?).await
            }
            Change::ExaminationRecorded(examination) => {
                let item = self.item_there(examination.item).await?;
                let zone = self.zone().await?;
                let (revision, item) = (item.revision, item.examined(examination, at, &zone)?);
                if item.revision != revision {
                    self.save_item(&item).await?;
                }
                self.add_examination(examination, recorded).await
            }
            Change::EventReported(event) => {
                let item = self.item_there(event.item).await?;
                let (revision, item) = (item.revision, item.after_event(event, at));
                if item.revision != revision {
                    self.save_item(&item).await?;
                }
                self.add_event(event, recorded).await
            }
            Change::NoticeOpened(notice) => self.add_notice(notice).await,
            Change::NoticeClosed(closing) => self.close_notice(closing, recorded).await,
            Change::JobPlanned(job) => self.add_job(job).await,
            Change::JobRevised(job) => self.revise_job(job).await,
            Change::JobEnded(end) => self.end_job(end).await,
            Change::KitLineAdded(line) => self.add_kit_line(line).await,
            Change::KitLineRemoved(removed) => self.remove_kit_line(removed).await,
            // These stand in the history alone; a verdict that was kept is read from there.
            Change::ImportTaken(_) | Change::ItemRefused(_) | Change::VerdictKept(_) => Ok(()),
        }
    }
}
