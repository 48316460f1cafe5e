//! What would come of a list, in one sentence.

use std::collections::BTreeSet;

use super::fate::Fate;
use super::question::counted;
use super::rehearsal::Rehearsal;

/// Marks in a sentence, of many the first ones.
pub fn listed<T: AsRef<str>>(marks: &[T]) -> String {
    /// How many are told.
    const MOST: usize = 20;
    let told: Vec<&str> = marks.iter().take(MOST).map(AsRef::as_ref).collect();
    match marks.len().saturating_sub(MOST) {
        0 => told.join(", "),
        more => format!("{} and {more} more", told.join(", ")),
    }
}

impl Rehearsal {
    /// What would be done, in one sentence.
    fn ready_sentence(&self) -> String {
        let rows = self.tally();
        let mut done = Vec::new();
        if rows.come_in > 0 {
            done.push(format!(
                "{} can be taken in, with {} and {}",
                counted(rows.come_in, "item"),
                counted(self.new_models.len(), "new model"),
                counted(self.new_stores.len(), "new store"),
            ));
        }
        if rows.updated > 0 {
            let items = counted(rows.updated, "item");
            done.push(format!("{items} of the register can be updated"));
        }
        match rows.there {
            0 => {}
            1 => done.push("1 item is there already and stays as it is".to_owned()),
            there => done.push(format!(
                "{there} items are there already and stay as they are"
            )),
        }
        if rows.left_out > 0 {
            done.push(format!("{} left out", counted(rows.left_out, "row")));
        }
        done.extend(self.put_aside());
        done.join("; ") + "."
    }

    /// Which items go to quarantine as they are taken in or updated, though the list does not say so.
    fn put_aside(&self) -> impl Iterator<Item = String> {
        let updates = self.plan.iter().flat_map(|plan| &plan.updates);
        let restricted = updates.filter(|update| update.step.is_some());
        let restricted: Vec<&str> = restricted.map(|one| one.item.mark.as_str()).collect();
        let held: Vec<&str> = self.held().map(|one| one.mark.as_str()).collect();
        let told = [
            (restricted, "for what the list says, as was answered"),
            (held, "at once, as a safety notice is open"),
        ];
        let told = told.into_iter().filter(|(marks, _)| !marks.is_empty());
        told.map(|(marks, why)| {
            let goes = if marks.len() == 1 { "goes" } else { "go" };
            let items = counted(marks.len(), "item");
            format!("{items} {goes} to quarantine {why}: {}", listed(&marks))
        })
    }

    /// The answer in one sentence.
    pub fn sentence(&self) -> String {
        if self.is_ready() {
            return self.ready_sentence();
        }
        let mut waits = Vec::new();
        if !self.questions.is_empty() {
            waits.push(format!(
                "{} to answer",
                counted(self.questions.len(), "question")
            ));
        }
        if !self.errors.is_empty() {
            waits.push(self.errors_counted());
        }
        if waits.is_empty() {
            return self.nothing_sentence();
        }
        format!(
            "Nothing can be taken in yet: {}. The list has {}.",
            waits.join(", and "),
            counted(self.tally().rows, "row")
        )
    }

    /// Why nothing is to be taken in though nothing is in the way.
    fn nothing_sentence(&self) -> String {
        let there = self.tally().there;
        let items = match there {
            0 => return "Nothing is left to take in: every row is left out.".to_owned(),
            1 => "its item is in the register already".to_owned(),
            there => format!("its {there} items are in the register already"),
        };
        let differ = self.rows.iter().filter(|row| row.fate == Fate::Differs);
        match differ.count() {
            0 => format!("Nothing in this list is new: {items}."),
            differ => format!(
                "No item in this list is new: {items}. The list says otherwise of {differ} of them than the register, which stays as it is until the list updates it: read what differs, row by row."
            ),
        }
    }

    /// How many errors there are, in how many rows, and how many rows wait for another one's: "12 errors in 9 rows to put
    /// right, which hold back 3 rows more of the same models".
    fn errors_counted(&self) -> String {
        let rows: BTreeSet<u32> = self.errors.iter().map(|error| error.row).collect();
        let held = self.rows.iter().filter(|row| row.fate == Fate::ModelWrong);
        let held: BTreeSet<u32> = held.map(|row| row.row).collect();
        let held = match held.len() {
            0 => String::new(),
            1 => ", which hold back 1 row more of the same model".to_owned(),
            held => format!(", which hold back {held} rows more of the same models"),
        };
        format!(
            "{} in {} to put right{held}",
            counted(self.errors.len(), "error"),
            counted(rows.len(), "row")
        )
    }
}
