//! What makes an item and a store one of their kind: marks, serials, names.

use uuid::Uuid;

use super::assemble::{Assembly, ReadyModel};
use super::fate::RowError;
use super::field::Field;
use super::grouping::GroupKey;
use super::heading::{Column, shortened};
use super::plan::{ModelRef, StoreRef};
use super::row::ReadRow;
use crate::domain::{FieldErrors, ModelId, StoreDraft, StoreId, fold};

impl Assembly<'_> {
    /// A serial is one thing of its model, in the file and in the register.
    pub(super) fn serial(
        &mut self,
        row: &mut ReadRow,
        key: Option<GroupKey>,
        model: Option<&ReadyModel>,
    ) {
        let serial = fold(row.text(Field::Serial));
        let Some(key) = key.filter(|_| !serial.is_empty()) else {
            return;
        };
        let known = model.and_then(|ready| match ready.at {
            ModelRef::Known(id) => Some(id),
            ModelRef::New(_) => None,
        });
        self.serial_is_free(row, key, known, serial);
    }

    /// Blames a row whose serial another item of its model has. That one row stands for several items and gives them one
    /// serial is told where its marks are read.
    pub(super) fn serial_is_free(
        &mut self,
        row: &mut ReadRow,
        key: GroupKey,
        model: Option<ModelId>,
        serial: String,
    ) {
        let known = model.is_some_and(|id| self.known.serials.contains(&(id, serial.clone())));
        let message = if known {
            "An item of this model in the register has this serial already.".to_owned()
        } else if let Some(first) = self.serials.get(&(key.clone(), serial.clone())) {
            if *first == row.number {
                row.wrong += 1;
                return;
            }
            format!("Row {first} has this serial too, for the same model.")
        } else {
            self.serials.insert((key, serial), row.number);
            return;
        };
        row.wrong += 1;
        self.blame(row.number, Some(Field::Serial), "taken", message);
    }

    /// The mark must be there, and free in the file and in the register.
    pub(super) fn mark(&mut self, row: &mut ReadRow) {
        let mark = row.text(Field::Mark);
        let folded = fold(mark);
        if self.headings.of(Field::Mark).is_none() {
            // A column that nobody has named yet may hold them.
            if self.headings.columns.iter().any(Column::is_unknown) {
                row.asked = true;
                return;
            }
            // Said once, not in every row.
            if self.marks.insert(String::new(), row.number).is_none() {
                let message = "No column is known to hold the team's marks. Say which heading does: every item needs a mark of its own.";
                self.errors
                    .push(RowError::in_row(row.number, "required", message));
            } else {
                row.wrong += 1;
            }
            return;
        }
        let (code, message) = if folded.is_empty() {
            if row.is_wrong(Field::Mark) {
                return;
            }
            ("required", "Write the mark of this item: every item needs one of its own. If the row is no item, take it out.".to_owned())
        } else if let Some(first) = self.marks.get(&folded) {
            (
                "taken",
                format!(
                    "The mark {} stands in row {first} too. Every item needs a mark of its own.",
                    shortened(mark)
                ),
            )
        } else {
            self.marks.insert(folded, row.number);
            let mut wrong = FieldErrors::default();
            wrong.line("mark", mark);
            match wrong.0.pop() {
                Some(error) => ("text", error.message),
                None => return,
            }
        };
        self.blame(row.number, Some(Field::Mark), code, message);
    }

    pub(super) fn store(&mut self, row: &ReadRow) -> Option<StoreRef> {
        let name = row.text(Field::Store);
        let folded = fold(name);
        if folded.is_empty() {
            return None;
        }
        if let Some(found) = self.stores.get(&folded) {
            return Some(*found);
        }
        let found = if let Some(store) = self.known.store(name) {
            StoreRef::Known(store.id)
        } else {
            let draft = StoreDraft {
                name: name.to_owned(),
                note: String::new(),
            };
            if let Err(wrong) = draft.check(StoreId(Uuid::nil()), 1) {
                for error in wrong.0 {
                    self.blame(row.number, Some(Field::Store), &error.code, error.message);
                }
                return None;
            }
            self.plan.stores.push(draft);
            StoreRef::New(self.plan.stores.len() - 1)
        };
        self.stores.insert(folded, found);
        Some(found)
    }
}
