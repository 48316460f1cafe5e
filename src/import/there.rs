//! Rows whose item the register has already: what they say otherwise, and whether that is taken over.

use super::against_asked::undated;
use super::assemble::Assembly;
use super::differing::was_apart;
use super::fate::{Differs, Fate};
use super::field::{Field, attributes_named};
use super::plan::{PlannedStep, PlannedUpdate, StoreRef};
use super::row::ReadRow;
use super::{blame, history, item};
use crate::domain::{Item, ItemDraft, ItemState, ItemStep, Model, confirmation_of, fold};

/// What is told of items that stay as they are, and are in another state by the list.
const OTHER_STATE: &str = "The list has items in another state than the register. A list changes no state: where it is right, change it at the item, with its reason.";

/// What a row says of an item that the register has.
struct Said {
    /// The item as it would be typed after the update.
    draft: ItemDraft,
    /// What would change.
    differs: Vec<Differs>,
    /// The state, if the row says it otherwise, with why no list changes it.
    state: Option<(Differs, String)>,
}

impl Assembly<'_> {
    /// The item of the register whose mark a row has.
    pub(super) fn there(&self, row: &ReadRow) -> Option<(Item, Model)> {
        let there = self.known.items.get(&fold(row.text(Field::Mark)))?;
        Some(there.clone())
    }

    /// What becomes of a row whose item is there already, and what it says otherwise.
    pub(super) fn there_already(
        &mut self,
        row: &mut ReadRow,
        (item, model): (Item, Model),
    ) -> (Fate, Vec<Differs>) {
        let before = self.errors.len();
        self.mark(row);
        if is_another(row, &model) {
            let message = format!(
                "The register has another item under the mark {}: {} {}. Give this one another mark, or put the list right if it is the same.",
                item.mark,
                model.kind.one(),
                model.title()
            );
            self.blame(row.number, Some(Field::Mark), "taken", message);
        }
        self.look_of_there(row, &item);
        row.wrong += self.errors.len() - before;
        // What is written down of it is that of its kind.
        row.kind = Some(model.kind);
        self.doubt_length_of_there(row, (&item, model.kind));
        let restricts = self.restrict_there(row, &item);
        let said = self.said(row, &item);
        let state = said.state.iter().map(|(differs, _)| differs.clone());
        let differs = state.chain(restricts).chain(said.differs.iter().cloned());
        let differs: Vec<Differs> = differs.collect();
        if said.state.is_some() && !self.answers.update {
            self.remarks.look_at(row.number, OTHER_STATE.to_owned());
        }
        let fate = if row.wrong > 0 {
            Fate::Wrong(row.wrong)
        } else if row.asked {
            Fate::Asked
        } else if differs.is_empty() {
            Fate::Same
        } else if !self.answers.update {
            Fate::Differs
        } else {
            self.update(row, item, &model, said)
        };
        (fate, differs)
    }

    /// Plans the update, or says why it cannot be.
    fn update(&mut self, row: &mut ReadRow, item: Item, model: &Model, said: Said) -> Fate {
        let before = self.errors.len();
        if item.state == ItemState::Retired {
            let message = format!(
                "{} is retired, and a list changes nothing of what is retired. Leave the row out.",
                item.mark
            );
            self.blame(row.number, Some(Field::Mark), "retired", message);
        }
        if let Some((_, message)) = said.state {
            self.blame(row.number, Some(Field::State), "fixed", message);
        }
        let store = self.store_of(row, &item);
        if let Some(store) = store {
            self.check(row, &said.draft, Some(model), Some(store));
        }
        self.serial_of(row, &item, model);
        self.keep_to_record(row, &item, &said.draft);
        row.wrong += self.errors.len() - before;
        match store {
            _ if row.wrong > 0 => Fate::Wrong(row.wrong),
            Some(store) => {
                self.plan.updates.push(PlannedUpdate {
                    row: row.number,
                    item,
                    store,
                    draft: said.draft,
                    step: row.held.is_some().then(|| PlannedStep {
                        step: ItemStep::Quarantine,
                        reason: history::reason(row),
                    }),
                });
                Fate::Updated
            }
            None => Fate::Asked,
        }
    }

    /// The record of an item may speak against the date made and the first use that the list gives it anew.
    fn keep_to_record(&mut self, row: &ReadRow, item: &Item, draft: &ItemDraft) {
        if item.made_anew(draft).is_some() {
            self.made_anew.push(item.clone());
        }
        let first = self.known.first_recorded.get(&item.id);
        for error in item.told_against(draft, first).0 {
            let field = blame::item_field(&error.field);
            self.blame(row.number, field, &error.code, error.message);
        }
    }

    fn store_of(&mut self, row: &ReadRow, item: &Item) -> Option<StoreRef> {
        if row.text(Field::Store).is_empty() {
            Some(StoreRef::Known(item.store))
        } else {
            self.store(row)
        }
    }

    /// A new serial must be free among the items of the model.
    fn serial_of(&mut self, row: &mut ReadRow, item: &Item, model: &Model) {
        let serial = fold(row.text(Field::Serial));
        let own = item.serial.as_deref().map(fold);
        if !serial.is_empty() && own.as_ref() != Some(&serial) {
            let key = (fold(&model.maker), fold(&model.name));
            self.serial_is_free(row, key, Some(model.id), serial);
        }
    }

    /// Compares what a row says with what the register has. Where the row says nothing, nothing changes.
    fn said(&self, row: &ReadRow, item: &Item) -> Said {
        let before = item.draft();
        let ours = item::draft(row);
        let mut said = Said {
            draft: before.clone(),
            differs: Vec::new(),
            state: state(row, item),
        };
        let draft = &mut said.draft;
        let lines = [
            (Field::Serial, &ours.serial, &mut draft.serial),
            (Field::Lot, &ours.lot, &mut draft.lot),
            (Field::Made, &ours.made, &mut draft.made),
            (Field::Bought, &ours.bought_on, &mut draft.bought_on),
            (
                Field::FirstUsed,
                &ours.first_used_on,
                &mut draft.first_used_on,
            ),
            (
                Field::MarkingsReadable,
                &ours.markings_readable,
                &mut draft.markings_readable,
            ),
            (Field::Arduous, &ours.arduous, &mut draft.arduous),
        ];
        for (field, ours, theirs) in lines {
            said.differs
                .extend(taken_over(&field.label(), ours, theirs));
        }
        for (key, ours) in &ours.attributes {
            if confirmation_of(key).is_some() {
                draft.attributes.insert(key.clone(), ours.clone());
                continue;
            }
            let label = attributes_named(key)
                .next()
                .map_or(key.as_str(), |one| one.label);
            let theirs = draft.attributes.entry(key.clone()).or_default();
            said.differs.extend(taken_over(label, ours, theirs));
        }
        draft.attributes.retain(|_, text| !text.is_empty());
        said.differs
            .extend(lines_added(&ours.note, &mut draft.note));
        let mut stores = self.known.stores.iter();
        let store = stores.find(|store| store.id == item.store);
        let store = store.map_or("", |store| store.name.as_str());
        said.differs.extend(differs(
            &Field::Store.label(),
            row.text(Field::Store),
            store,
        ));
        said
    }
}

/// The state that a row says otherwise, with why no list changes it.
fn state(row: &ReadRow, item: &Item) -> Option<(Differs, String)> {
    let ours = ItemState::from_key(row.text(Field::State)).map_or("", ItemState::word);
    let theirs = item.state.word();
    let differs = differs(&Field::State.label(), ours, theirs)?;
    let message = format!(
        "{} is {theirs} in the register, not {ours}: a state is changed at the item, with its reason. Change it there, or leave the row out.",
        item.mark
    );
    Some((differs, message))
}

/// Whether a row is about another thing than the item of the register with its mark.
pub(super) fn is_another(row: &ReadRow, model: &Model) -> bool {
    let differs = |field, theirs: &str| {
        let ours = row.text(field);
        !ours.is_empty() && fold(ours) != fold(theirs)
    };
    row.kind_said.is_some_and(|kind| kind != model.kind)
        || differs(Field::Maker, &model.maker)
        || (differs(Field::Model, &model.name) && !was_apart(row, model.kind, &model.name))
}

/// The difference, if a row says something and says it otherwise.
fn differs(label: &str, ours: &str, theirs: &str) -> Option<Differs> {
    (!ours.is_empty() && fold(ours) != fold(theirs)).then(|| Differs {
        label: label.to_owned(),
        old: theirs.to_owned(),
        new: ours.to_owned(),
    })
}

/// The same, and what the row says stands in the draft then.
fn taken_over(label: &str, ours: &str, theirs: &mut String) -> Option<Differs> {
    let differs = differs(label, ours, theirs)?;
    ours.clone_into(theirs);
    Some(differs)
}

/// A list takes nothing out of a note; it adds the lines that are not there.
fn lines_added(ours: &str, theirs: &mut String) -> Option<Differs> {
    let old = theirs.clone();
    for line in ours.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let mut there = old.lines();
        if !there.any(|one| fold(undated(one)) == fold(undated(line))) {
            if !theirs.is_empty() {
                theirs.push('\n');
            }
            theirs.push_str(line);
        }
    }
    (old != *theirs).then(|| Differs {
        label: Field::Note.label(),
        old,
        new: theirs.clone(),
    })
}
