//! What was found against some rows of a list, gathered row by row.

use std::collections::BTreeMap;

use super::given::SeenOf;
use super::plan::{ModelRef, PlannedItem};
use crate::domain::{Mend, Refusal};

/// A model, or those of its items that are of one lot.
pub(super) type Of = (ModelRef, String);

/// What was found against some rows.
#[derive(Default)]
pub(super) struct Found {
    pub(super) rules: Vec<String>,
    pub(super) rows: Vec<u32>,
    /// What is wrong with each model, and how many items it has; where it is the models that lack something.
    pub(super) models: BTreeMap<Of, (String, usize)>,
    pub(super) seen: Option<SeenOf>,
}

impl Found {
    pub(super) fn add(&mut self, planned: &PlannedItem, refusal: &Refusal) {
        self.rule(refusal);
        // What names days is told of each item; a model's lack is the same for all of its items.
        if matches!(refusal.mend, Some(Mend::ModelRecord(_))) {
            self.of_model(planned, &refusal.sentence);
        } else if self.rows.last() != Some(&planned.row) {
            self.rows.push(planned.row);
        }
    }

    pub(super) fn of_model(&mut self, planned: &PlannedItem, sentence: &str) {
        self.of(planned, String::new(), sentence);
    }

    /// What is said of all items of one lot, or of all of a model that name none.
    pub(super) fn of_lot(&mut self, planned: &PlannedItem, refusal: &Refusal) {
        self.rule(refusal);
        let lot = planned.draft.lot.trim().to_owned();
        self.of(planned, lot, &refusal.sentence);
    }

    fn of(&mut self, planned: &PlannedItem, lot: String, sentence: &str) {
        if self.rows.last() == Some(&planned.row) {
            return;
        }
        self.rows.push(planned.row);
        let model = self.models.entry((planned.model, lot));
        model.or_insert_with(|| (sentence.to_owned(), 0)).1 += 1;
    }

    fn rule(&mut self, refusal: &Refusal) {
        let rule = refusal.rule.to_string();
        if !self.rules.contains(&rule) {
            self.rules.push(rule);
        }
    }
}
