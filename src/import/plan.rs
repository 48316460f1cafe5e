//! What is to be taken in once nothing is asked and nothing is wrong.

use crate::domain::{
    ExaminationDraft, Item, ItemDraft, ItemStep, ModelDraft, ModelId, StoreDraft, StoreId,
};

/// The records that come of a file. Ids are given by whoever takes them in.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Stores that the register does not have yet.
    pub stores: Vec<StoreDraft>,
    /// Models that the register does not have yet.
    pub models: Vec<PlannedModel>,
    /// The items, in the order of their rows.
    pub items: Vec<PlannedItem>,
    /// Items of the register that change.
    pub updates: Vec<PlannedUpdate>,
}

/// A new model.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedModel {
    /// As it would be typed.
    pub draft: ModelDraft,
    /// How many rows are items of it.
    pub items: usize,
    /// Whether the list says which ropes it takes, and no approval is there yet that could hold it.
    pub ropes_wait: bool,
}

impl PlannedModel {
    /// Maker and name in one line.
    pub fn title(&self) -> String {
        format!("{} {}", self.draft.maker, self.draft.name)
    }
}

/// The model of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ModelRef {
    /// One of the plan's, by its place there.
    New(usize),
    /// One of the register.
    Known(ModelId),
}

/// The store of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StoreRef {
    /// One of the plan's, by its place there.
    New(usize),
    /// One of the register.
    Known(StoreId),
}

/// A new item with what is known of its past.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedItem {
    /// The row it comes from.
    pub row: u32,
    /// Its model.
    pub model: ModelRef,
    /// Its store.
    pub store: StoreRef,
    /// As it would be typed; the ids of model and store are not in it yet.
    pub draft: ItemDraft,
    /// The examination that the list tells of.
    pub examination: Option<ExaminationDraft>,
    /// An examination that was said for many rows at once.
    pub seen: Option<ExaminationDraft>,
    /// The step into the state that the list tells of, if the examination does not end in it.
    pub step: Option<PlannedStep>,
}

/// An item of the register with what a row says otherwise.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedUpdate {
    /// The row it comes from.
    pub row: u32,
    /// The item as it is.
    pub item: Item,
    /// Its store then.
    pub store: StoreRef,
    /// As it would be typed then; the id of the store is not in it yet.
    pub draft: ItemDraft,
    /// The step into quarantine, where remarks restrict it and that was said.
    pub step: Option<PlannedStep>,
}

/// A step and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedStep {
    /// The step.
    pub step: ItemStep,
    /// Why.
    pub reason: String,
}
