//! What becomes of a row: the item that it would be, held to the rules of the register.

use uuid::Uuid;

use super::assemble::{Assembly, ReadyModel};
use super::fate::{Fate, RemarkKind, RowFate};
use super::field::Field;
use super::plan::{ModelRef, PlannedItem, StoreRef};
use super::row::ReadRow;
use super::{blame, history, item, state_asked};
use crate::domain::{ItemDraft, Kind, Model, StoreId};

/// What is said of all rows whose last inspection is taken as passed.
const TAKEN_AS_FIT: &str = "The list gives a last inspection and no result of it, and nothing that speaks against the item: it is taken over as an examination with the verdict fit, by whom the list names.";

impl Assembly<'_> {
    pub(super) fn item(&mut self, row: &mut ReadRow, model: Option<&ReadyModel>) -> RowFate {
        let words = [
            row.kind.map(Kind::word).unwrap_or_default(),
            row.text(Field::Maker),
            row.text(Field::Model),
        ];
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        let title = words.join(" ");
        let (fate, differs) = match self.there(row) {
            _ if row.left_out => (Fate::LeftOut, Vec::new()),
            Some(there) => self.there_already(row, there),
            None => (self.fate(row, model), Vec::new()),
        };
        RowFate {
            row: row.number,
            mark: row.text(Field::Mark).to_owned(),
            title,
            store: row.text(Field::Store).to_owned(),
            fate,
            differs,
        }
    }

    fn fate(&mut self, row: &mut ReadRow, model: Option<&ReadyModel>) -> Fate {
        let before = self.errors.len();
        self.made(row, model.and_then(|ready| ready.model.as_ref()));
        self.mark(row);
        let store = self.store(row);
        self.state(row);
        self.restrict(row);
        state_asked::keep_inspection(row);
        self.examiner(row);
        self.due_within(row, model);
        let draft = item::draft(row);
        let known = model.and_then(|ready| ready.model.as_ref());
        self.check(row, &draft, known, store);
        let mut history = history::of(row, self.today);
        self.keep_to_interval(row, model, &mut history);
        if history.examination.is_some() && row.text(Field::Verdict).is_empty() {
            let rows = [row.number];
            self.remarks
                .add_rows(RemarkKind::TakenAsFit, &rows, TAKEN_AS_FIT);
        }
        for (field, code, message) in history.wrong {
            self.blame(row.number, Some(field), code, message);
        }
        row.wrong += self.errors.len() - before;
        let hold = model.and_then(|ready| ready.hold);
        match (model, store) {
            _ if row.wrong > 0 => Fate::Wrong(row.wrong),
            _ if row.asked => Fate::Asked,
            _ if hold.is_some() => hold.unwrap_or(Fate::Asked),
            (Some(model), Some(store)) => {
                self.plan.items.push(PlannedItem {
                    row: row.number,
                    model: model.at,
                    store,
                    draft,
                    examination: history.examination,
                    seen: None,
                    step: history.step,
                });
                match model.at {
                    ModelRef::New(_) => Fate::NewModel,
                    ModelRef::Known(_) => Fate::KnownModel,
                }
            }
            _ => Fate::Asked,
        }
    }

    /// Holds a draft to the rules of the register, as far as its model is known.
    pub(super) fn check(
        &mut self,
        row: &ReadRow,
        draft: &ItemDraft,
        model: Option<&Model>,
        store: Option<StoreRef>,
    ) {
        let store = store.map(|_| StoreId(Uuid::nil()));
        let Err(wrong) = draft.check(model, store, self.today) else {
            return;
        };
        for error in wrong.0 {
            // What is wrong with these is found with more to say where they are looked up.
            if !matches!(error.field.as_str(), "model" | "store" | "mark") {
                let field = blame::item_field(&error.field);
                self.blame(row.number, field, &error.code, error.message);
            }
        }
    }

    pub(super) fn blame(&mut self, row: u32, field: Option<Field>, code: &str, message: String) {
        let error = blame::at(self.headings, row, field, code, message);
        self.errors.push(error);
    }
}
