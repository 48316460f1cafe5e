//! Days of which only a month or a year stands in a list, or of which nobody is sure.

use super::answer::LessThanDay;
use super::assemble::{Assembly, ReadyModel};
use super::field::Field;
use super::heading::{Column, shortened};
use super::question::Question;
use super::row::{Given, ReadRow, Reading};
use super::table::Cell;
use crate::domain::Made;
use crate::domain::date::{add_months, read_day, write_day};

impl Reading<'_> {
    /// A month or a year where a day is kept: it is asked once what such cells stand for.
    pub(super) fn less_than_day(
        &mut self,
        cell: &Cell,
        column: &Column,
        made: Made,
        read: &mut ReadRow,
    ) {
        let Some(field) = column.field() else { return };
        match self.answers.less_than_day {
            Some(LessThanDay::First) => {
                let sentence = format!(
                    "Where \"{}\" names only a month or a year, its first day is taken.",
                    shortened(&column.heading)
                );
                self.read.remarks.add(read.number, sentence);
                let (text, shown) = (write_day(made.cautious_day()), cell.shown());
                read.first_days.push((field, made));
                read.values.entry(field).or_insert(Given { text, shown });
            }
            Some(LessThanDay::InNote) => self.keep_in_note(cell, column, read),
            None => {
                read.wait(field);
                let asked = self
                    .less_than_day
                    .get_or_insert_with(|| Question::LessThanDay {
                        headings: Vec::new(),
                        cells: 0,
                        row: read.number,
                        example: shortened(&cell.shown()),
                    });
                if let Question::LessThanDay {
                    headings, cells, ..
                } = asked
                {
                    *cells += 1;
                    if !headings.contains(&column.heading) {
                        headings.push(column.heading.clone());
                    }
                }
            }
        }
    }

    /// A day of which the list itself is not sure is not known; what it says stays in the note.
    pub(super) fn unsure(&mut self, cell: &Cell, column: &Column, read: &mut ReadRow) {
        let sentence = format!(
            "Of a day such as \"{}\" under \"{}\" nobody is sure: it counts as not known, and is kept in the note.",
            shortened(&cell.shown()),
            shortened(&column.heading)
        );
        self.read.remarks.look_at(read.number, sentence);
        self.keep_in_note(cell, column, read);
    }
}

impl ReadRow {
    /// Nothing happens to an item before it is made: where the first day of a month or a year was taken, and the item was
    /// made later within it, the day that it was made counts.
    pub(super) fn begin_when_made(&mut self) {
        let Ok(made) = Made::read(self.text(Field::Made)) else {
            return;
        };
        let made = made.cautious_day();
        for (field, taken) in std::mem::take(&mut self.first_days) {
            let is_within = taken.cautious_day() < made && made <= taken.last_day();
            if let Some(given) = self.values.get_mut(&field).filter(|_| is_within) {
                given.text = write_day(made);
            }
        }
    }
}

impl Assembly<'_> {
    /// Takes a day for a month or a year in which the next examination is due: the one that is as many months after the
    /// last as the rules allow, where it falls into it, else the first that can be meant.
    pub(super) fn due_within(&mut self, row: &mut ReadRow, model: Option<&ReadyModel>) {
        let Ok(due @ (Made::Month(..) | Made::Year(_))) = Made::read(row.text(Field::NextDue))
        else {
            return;
        };
        let examined = read_day(row.text(Field::LastExamined)).ok();
        let model = model.and_then(|ready| ready.model.as_ref());
        let months = model.and_then(|model| self.known.interval(model));
        let behind_last = examined.and_then(|on| on.next_day());
        let first = due
            .cautious_day()
            .max(behind_last.unwrap_or(due.cautious_day()));
        let first = Some(first).filter(|first| *first <= due.last_day());
        let by_rules = examined
            .zip(months)
            .map(|(on, months)| add_months(on, months));
        let by_rules = by_rules.filter(|day| (due.cautious_day()..=due.last_day()).contains(day));
        let day = by_rules.or(first).unwrap_or(due.cautious_day());
        if let Some(given) = row.values.get_mut(&Field::NextDue) {
            given.text = write_day(day);
        }
        let sentence = "The list says of the next examination only in which month or year it is due. It is due on the day that is as many months after the last one as the rules allow, where that falls into it; else on its first day, though the list may mean all of it.";
        self.remarks.look_at(row.number, sentence.to_owned());
    }
}
