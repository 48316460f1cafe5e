//! The one door for writes: every change of a record goes to the ledger and to the tables, or to neither.

use time::OffsetDateTime;

use super::{Recorded, StoreError, WriteTx};
use crate::domain::{Actor, Change, Entry, RopeCut};

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
        self.record_all(actor, at, [change]).await?;
        Ok(self.last_recorded())
    }

    /// Applies one entry's change to the tables, if it is none of those that make a run.
    pub(super) async fn apply(
        &mut self,
        entry: &Entry<Change>,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        match &entry.change {
            Change::TeamFounded(team) | Change::TeamRevised(team) => {
                self.save_team(team).await?;
                self.keep_due_days().await
            }
            Change::PersonAdded(person) => self.add_person(person).await,
            Change::PersonRevised(person) => self.revise_person(person).await,
            Change::QualificationRecorded(one) => self.add_qualification(one).await,
            Change::QualificationEnded(end) => self.end_qualification(end).await,
            Change::QualificationAddressed(one) => self.address_qualification(one).await,
            Change::StoreAdded(store) => self.add_store(store).await,
            Change::StoreRevised(store) => self.revise_store(store).await,
            Change::ModelAdded(model) => self.add_model(model).await,
            Change::ModelRevised(model) => self.revise_model(model).await,
            Change::ModelKindChanged(changed) => self.revise_model(&changed.model).await,
            Change::RulebookAdded(own) | Change::RulebookRevised(own) => {
                self.keep_rulebook(own).await?;
                self.keep_due_days().await
            }
            Change::RulebookWithdrawn(offer) | Change::RulebookTakenUp(offer) => {
                let withdrawn = matches!(entry.change, Change::RulebookWithdrawn(_));
                self.set_rulebook_withdrawn(offer.rulebook, withdrawn).await
            }
            Change::ChecklistRevised(own) => self.keep_checklist(own).await,
            Change::ItemRevised(item) => self.revise_item(item).await,
            Change::RopeCut(cut) => self.cut_rope(cut, entry).await,
            Change::TagAdded(tag) => self.add_tag(tag).await,
            Change::TagRemoved(removed) => self.remove_tag(removed).await,
            Change::RoundPlanned(_) | Change::RoundClosed(_) => {
                self.apply_round(&entry.change).await
            }
            Change::FileAttached(one) => self.add_attachment(one, recorded).await,
            Change::FileWithdrawn(end) => self.withdraw_attachment(end).await,
            Change::NoticeOpened(notice) => self.add_notice(notice).await,
            Change::NoticeClosed(closing) => self.close_notice(closing, recorded).await,
            Change::NoticeCorrected(to) => self.correct_notice(&to.notice).await,
            Change::NoticeWithdrawn(end) => self.withdraw_notice(end).await,
            Change::RigAdded(rig) => self.add_rig(rig, entry).await,
            Change::RigRevised(rig) => self.revise_rig(rig, entry).await,
            Change::RigWithdrawn(offer) => self.set_rig_withdrawn(offer.rig, true).await,
            Change::RigTakenUp(offer) => self.set_rig_withdrawn(offer.rig, false).await,
            Change::JobPlanned(job) => self.add_job(job).await,
            Change::JobRevised(job) => self.revise_job(job).await,
            Change::JobEnded(end) => self.end_job(end).await,
            Change::KitLineAdded(line) => self.add_kit_line(line).await,
            Change::KitLineRemoved(removed) => self.remove_kit_line(removed).await,
            other => self.apply_further(other, recorded).await,
        }
    }

    /// Applies who signs the record, and what a crew did with a kit.
    async fn apply_further(
        &mut self,
        change: &Change,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        match change {
            Change::LedgerKeyTaken(key) => self.add_ledger_key(key, recorded).await,
            Change::WitnessNamed(witness) => self.add_witness(witness).await,
            Change::WitnessEnded(end) => self.end_witness(end).await,
            Change::NamesRemoved(removal) => self.remove_names(removal).await,
            Change::KitIssued(issue) => self.add_issue(issue, recorded).await,
            Change::IssueTakenBack(back) => self.take_issue_back(back).await,
            Change::FunctionCheckSigned(check) => self.add_function_check(check, recorded).await,
            Change::KitReturned(count) => self.add_kit_return(count, recorded).await,
            Change::CrewPlanned(plan) => self.add_crew_plan(plan, recorded).await,
            Change::PlanPinned(_) | Change::PlanUnpinned(_) => self.apply_pin(change).await,
            Change::GuestLinkMade(_)
            | Change::GuestLinkWithdrawn(_)
            | Change::GuestReadsCounted(_) => self.apply_guest(change).await,
            other => self.apply_bag(other, recorded).await,
        }
    }

    /// Keeps what is left of a rope, and its pieces.
    async fn cut_rope(&mut self, cut: &RopeCut, entry: &Entry<Change>) -> Result<(), StoreError> {
        let rope = self.item_there(cut.rope).await?;
        let (rope, pieces) = rope.cut(cut, entry.seq, entry.recorded_at)?;
        self.save_item(&rope).await?;
        self.add_items(&pieces).await
    }
}
