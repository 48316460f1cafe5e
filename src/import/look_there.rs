//! What a row tells of the examinations of an item that is there already: a list records none of them, and what speaks
//! against an item that is in service is not passed over.

use super::assemble::Assembly;
use super::field::Field;
use super::row::ReadRow;
use super::word;
use crate::domain::date::{read_day, write_day};
use crate::domain::{Item, ItemState, Verdict};

impl Assembly<'_> {
    /// Tells a later examination than the register has, and refuses the row where its examination speaks against the item.
    pub(super) fn look_of_there(&mut self, row: &ReadRow, item: &Item) {
        let day = |field| read_day(row.text(field)).ok();
        let (told, last) = (day(Field::LastExamined), item.last_passed_on);
        if told.is_some_and(|told| last.is_none_or(|last| told > last)) {
            let sentence = "The list tells of a later examination than the register has of an item that is there already; an update does not record it. Record it at the item.";
            self.remarks.add(row.number, sentence.to_owned());
        }
        // What the register knows of since goes before the list.
        let is_older = told.zip(last).is_some_and(|(told, last)| told < last);
        if is_older || item.state != ItemState::InService {
            return;
        }
        let verdict = word::verdict(row.text(Field::Verdict));
        let due = day(Field::NextDue).zip(item.next_due_on);
        let (field, why) = if verdict.is_some_and(|verdict| verdict != Verdict::Fit) {
            let why = format!(
                "The list says that {} did not pass its examination, and the register has it in service",
                item.mark
            );
            (Field::Verdict, why)
        } else if let Some((told, due)) = due.filter(|(told, due)| told < due) {
            let why = format!(
                "The list says that {} is due on {}, and the register, on {}",
                item.mark,
                write_day(told),
                write_day(due)
            );
            (Field::NextDue, why)
        } else {
            return;
        };
        let message = format!(
            "{why}: a list records no examination of what is there already. Record it at the item, or leave the row out."
        );
        self.blame(row.number, Some(field), "fixed", message);
    }
}
