//! Rows that say nothing of their state where a column of the list has it, and those that say something else than "in
//! service": what is asked of the first, and what of their last inspection is kept of the others.

use super::assemble::Assembly;
use super::examiner::taken_out;
use super::field::Field;
use super::row::{Given, ReadRow};
use super::word;
use crate::domain::ItemState;

/// What stands before and behind a last inspection in the line of a note that keeps it.
pub(super) const KEPT: (&str, &str) = ("Last inspected ", ", says the list.");

impl Assembly<'_> {
    /// Asks once what state all rows are in that say none. Without such a column items come in as in service.
    pub(super) fn state(&mut self, row: &mut ReadRow) {
        let is_told =
            |field: Field| !row.text(field).is_empty() || row.asked_for(field) || row.says(field);
        if self.headings.of(Field::State).is_none()
            || is_told(Field::State)
            || is_told(Field::Verdict)
        {
            return;
        }
        let said = self.answer(Field::State, [row.number]);
        let state = said.and_then(|said| ItemState::from_key(&said).or_else(|| word::state(&said)));
        if let Some(state) = state {
            let given = Given {
                text: state.key().to_owned(),
                shown: String::new(),
            };
            row.values.insert(Field::State, given);
        } else {
            // What was said and is no state is asked again.
            self.ask(Field::State, [row.number]);
            row.asked = true;
        }
    }
}

/// Puts the last inspection of an item that the list has in another state than "in service" into the note, in the list's
/// words: it names no result, and nobody is made to have said one.
pub(super) fn keep_inspection(row: &mut ReadRow) {
    let state = ItemState::from_key(row.text(Field::State));
    let is_other = state.is_some_and(|state| state != ItemState::InService);
    let has_day = row.values.contains_key(&Field::LastExamined);
    if !is_other || !has_day || !row.text(Field::Verdict).is_empty() {
        return;
    }
    let (on, by, due) = taken_out(row);
    let (begins, ends) = KEPT;
    row.note.push(format!(
        "{begins}{on}{by}{due}{ends} It names no result of that inspection."
    ));
}

/// What can be said of rows that say nothing of their state, as the words for programs and for people.
pub(super) fn choices() -> Vec<(String, String)> {
    let words = |state: ItemState| match state {
        ItemState::Quarantined => "In quarantine until somebody has looked".to_owned(),
        ItemState::InService => {
            "In service; a last inspection that the list gives is taken as passed".to_owned()
        }
        other => other.word().to_owned(),
    };
    let all = ItemState::ALL.iter();
    all.map(|state| (state.key().to_owned(), words(*state)))
        .collect()
}
