//! What a planned item becomes in the register: the item, and the changes that make it so.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::plan::PlannedItem;
use crate::domain::fitness::interval_months;
use crate::domain::rulebook::Rulebook;
use crate::domain::{
    Change, Competence, Examination, ExaminationBasis, ExaminationDraft, ExaminationId,
    FieldErrors, Item, ItemId, ItemStepped, Model, NotAllowed, PersonId, StoreId, Zone,
};

/// Who takes a list in, when, and by which rules.
#[derive(Clone, Copy, Debug)]
pub struct Recording<'a> {
    /// Who records it, by name.
    pub recorder: &'a str,
    /// The same person.
    pub recorded_by: PersonId,
    /// When.
    pub now: OffsetDateTime,
    /// Which day that is for the team.
    pub today: Date,
    /// The team's time zone.
    pub zone: &'a Zone,
    /// The rulebook whose intervals the team works by.
    pub rulebook: &'a Rulebook,
    /// Who is competent to examine.
    pub competence: &'a Competence,
    /// Makes the ids of what is new.
    pub new_id: fn() -> Uuid,
}

/// An item as it will be, and the changes that lead there.
#[derive(Clone, Debug, PartialEq)]
pub struct Becoming {
    /// The item after them.
    pub item: Item,
    /// The changes in their order.
    pub changes: Vec<Change>,
}

/// Why a planned item cannot be taken in.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotTaken {
    /// A field does not hold.
    #[error(transparent)]
    Invalid(#[from] FieldErrors),
    /// The list tells of a step that is not open.
    #[error(transparent)]
    NotAllowed(#[from] NotAllowed),
}

impl PlannedItem {
    /// The item of this model in this store, with its past.
    ///
    /// # Errors
    /// [`NotTaken`] where the draft, an examination or the step does not hold.
    pub fn becoming(
        &self,
        model: &Model,
        store: StoreId,
        recording: &Recording<'_>,
    ) -> Result<Becoming, NotTaken> {
        let details = self
            .draft
            .check(Some(model), Some(store), recording.today)?;
        let mut item = details.into_item(ItemId((recording.new_id)()), recording.now);
        let mut changes = vec![Change::ItemAdded(item.clone())];
        for draft in self.examination.iter().chain(&self.seen) {
            let examination = recording.examination(draft, item.id, model)?;
            item = item.examined(&examination, recording.now, recording.zone)?;
            changes.push(Change::ExaminationRecorded(examination));
        }
        if let Some(planned) = &self.step {
            let stepped = ItemStepped {
                item: item.id,
                step: planned.step,
                reason: planned.reason.clone(),
                on: recording.today,
                retired_for: None,
            };
            item = item.stepped(&stepped, recording.now)?;
            changes.push(Change::ItemStepped(stepped));
        }
        Ok(Becoming { item, changes })
    }
}

impl Recording<'_> {
    fn examination(
        &self,
        draft: &ExaminationDraft,
        item: ItemId,
        model: &Model,
    ) -> Result<Examination, FieldErrors> {
        let basis = ExaminationBasis {
            item,
            recorded_by: self.recorded_by,
            recorder: self.recorder.to_owned(),
            today: self.today,
            interval_months: interval_months(model, self.rulebook).0,
            // What was looked at elsewhere is not told by a list of items.
            list: None,
            limits: &[],
            gear: model.kind,
            competence: self.competence,
            return_waits: false,
            happened: &[],
            length: None,
        };
        draft.check(ExaminationId((self.new_id)()), &basis)
    }
}
