//! What a row tells of the examinations of an item that is there already: a list records none of them, and what speaks
//! against an item that is in service is not passed over.

use super::answer::DateOrder;
use super::assemble::Assembly;
use super::fate::RemarkKind;
use super::field::Field;
use super::remark::rows_listed;
use super::row::ReadRow;
use super::sentence::listed;
use super::{day, examiner, state_asked, word};
use crate::domain::date::{read_day, write_day};
use crate::domain::{Item, ItemState, Made, Verdict};

/// An examination that an earlier list told of and that was kept as a line of the note, in the words of that list.
struct Noted<'a> {
    on: &'a str,
    due: Option<&'a str>,
}

impl<'a> Noted<'a> {
    fn read(line: &'a str) -> Option<Self> {
        let kept = [examiner::KEPT, state_asked::KEPT];
        let (said, _) = kept.iter().find_map(|(begins, ends)| {
            let said = line.strip_prefix(begins)?;
            said.split_once(ends)
        })?;
        let (said, due) = match said.split_once(examiner::NEXT_DUE) {
            Some((said, due)) => (said, Some(due)),
            None => (said, None),
        };
        let (said, _) = said.split_once(", result \"").unwrap_or((said, ""));
        let (on, _) = said.split_once(" by ").unwrap_or((said, ""));
        Some(Self { on, due })
    }
}

/// The days that a text of an earlier list can mean: nobody knows any more whether its day came first.
fn readings(text: &str) -> Vec<Made> {
    let orders = DateOrder::ALL.iter();
    let read = |order: &DateOrder| day::read_made(text)?.day(Some(*order), None).ok();
    orders.filter_map(read).collect()
}

impl Assembly<'_> {
    /// Tells a later examination than the register has on record; one that an earlier list told of may stand in the note.
    fn later_than_noted(&mut self, row: &ReadRow, item: &Item) {
        let noted: Vec<Noted<'_>> = item.note.lines().filter_map(Noted::read).collect();
        let shown = |field| {
            row.values
                .get(&field)
                .map_or("", |given| given.shown.trim())
        };
        let of = |field: Field| (shown(field), Made::read(row.text(field)).ok());
        let is = |text: &str, (shown, told): (&str, Option<Made>)| {
            text == shown || told.is_some_and(|told| readings(text).contains(&told))
        };
        let told = of(Field::LastExamined);
        let before = |on: &Made| {
            let told = told.1.map(Made::cautious_day);
            told.is_some_and(|told| on.last_day() < told)
        };
        let is_later = noted.iter().all(|one| {
            let on = readings(one.on);
            !is(one.on, told) && (on.is_empty() || on.iter().any(before))
        });
        if is_later {
            self.later
                .push((row.number, row.text(Field::Mark).to_owned()));
            return;
        }
        let due = of(Field::NextDue);
        let same = noted.iter().find(|one| is(one.on, told));
        let Some(noted) = same.and_then(|one| one.due).filter(|noted| !is(noted, due)) else {
            return;
        };
        if due.1.is_some() {
            let sentence = format!(
                "The list says that {} is due on {}, and its note, on {noted}: an update changes neither. Hold it by the earlier day until it is examined.",
                item.mark, due.0
            );
            self.remarks.look_at(row.number, sentence);
        }
    }

    /// Tells of which items the list has later examinations.
    pub(super) fn remark_later(&mut self) {
        let mut later = std::mem::take(&mut self.later);
        later.dedup();
        let rows: Vec<u32> = later.iter().map(|(row, _)| *row).collect();
        let marks: Vec<&str> = later.iter().map(|(_, mark)| mark.as_str()).collect();
        let sentence = format!(
            "The list tells of later examinations than the register has of items that are there already: {} ({}). An update does not record them: record each at the item.",
            listed(&marks),
            rows_listed(&rows)
        );
        self.remarks.add_rows(RemarkKind::LookAt, &rows, &sentence);
    }

    /// Tells a later examination than the register has, and refuses the row where its examination speaks against the item.
    pub(super) fn look_of_there(&mut self, row: &ReadRow, item: &Item) {
        let day = |field| read_day(row.text(field)).ok();
        let (told, last) = (day(Field::LastExamined), item.last_passed_on);
        if told.is_some_and(|told| last.is_none_or(|last| told > last)) {
            self.later_than_noted(row, item);
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
