//! Who made the examinations that a list tells of: asked once a name where the rules do not take them as they stand.

use std::collections::{BTreeMap, BTreeSet};

use time::Date;

use super::assemble::Assembly;
use super::field::Field;
use super::question::Question;
use super::row::{Given, ReadRow};
use crate::domain::date::read_day;
use crate::domain::{Kind, fold, may_be};

/// The answer that an examination is kept as history and is no thorough one by a competent person.
pub const HISTORY: &str = "history";

/// What stands before and behind an examination in the line of a note that keeps it.
pub(super) const KEPT: (&str, &str) = ("Examined ", ", as the list says.");

/// What stands there before the day on which the next is due.
pub(super) const NEXT_DUE: &str = ", the next due ";

/// How many names in a row lead to another: the one of the list to that of a person, and that to an answer of its own.
const MOST_NAMES: usize = 3;

/// Examinations by one name that cannot be taken over as they stand.
#[derive(Debug)]
pub(super) struct Unproven {
    /// The name as it is written first.
    name: String,
    rows: usize,
    first_row: u32,
    /// Why, each with how many rows, by the reason however it is written.
    why: BTreeMap<String, (String, usize)>,
    kinds: BTreeSet<Kind>,
    first_day: Option<Date>,
}

/// What becomes of the examination of a row.
enum Past {
    /// It is taken over as this person's.
    By(String),
    /// It is kept in the note.
    History,
    /// It is asked who made it, under this name and for this reason.
    Asked(String, String),
}

impl Assembly<'_> {
    /// Finds out who made the examination of a row. What is no thorough one by a competent person goes to the note.
    pub(super) fn examiner(&mut self, row: &mut ReadRow) {
        // What cannot be read yet is asked with the others, so that it brings no question back.
        let on = read_day(row.text(Field::LastExamined)).ok();
        if on.is_none() && !row.says(Field::LastExamined) {
            return;
        }
        match self.made_by(row, row.kind.zip(on)) {
            Past::By(name) if name == row.text(Field::Examiner) => {}
            Past::By(text) => {
                let given = row.values.get(&Field::Examiner);
                let shown = given.map(|given| given.shown.clone()).unwrap_or_default();
                row.values.insert(Field::Examiner, Given { text, shown });
            }
            Past::History => keep_as_history(row),
            Past::Asked(name, why) => {
                row.asked = true;
                let asked = self.examiners.entry(fold(&name)).or_insert(Unproven {
                    name,
                    rows: 0,
                    first_row: row.number,
                    why: BTreeMap::new(),
                    kinds: BTreeSet::new(),
                    first_day: on,
                });
                asked.rows += 1;
                asked.why.entry(fold(&why)).or_insert((why, 0)).1 += 1;
                asked.kinds.extend(row.kind);
                asked.first_day = match (asked.first_day, on) {
                    (Some(first), Some(on)) => Some(first.min(on)),
                    (first, on) => first.or(on),
                };
            }
        }
    }

    fn made_by(&mut self, row: &ReadRow, of: Option<(Kind, Date)>) -> Past {
        let mut name = row.text(Field::Examiner).to_owned();
        if self.known.competence.is_none() {
            return Past::By(name);
        }
        let mut why = String::new();
        for _ in 0..MOST_NAMES {
            let said = if name.is_empty() {
                let said = self.answers.silent(Field::Examiner);
                said.and_then(|_| self.answer(Field::Examiner, [row.number]))
            } else {
                match self.known.no_examiner(&name, of) {
                    None => return Past::By(self.known.examiner(name)),
                    Some(found) => why = found,
                }
                self.answers.word(Field::Examiner, &name).map(str::to_owned)
            };
            match said {
                Some(said) if said == HISTORY => return Past::History,
                Some(other) if other != name => name = other,
                _ => break,
            }
        }
        Past::Asked(name, why)
    }

    /// What is asked about examiners, once a name.
    pub(super) fn ask_examiners(&self) -> Vec<Question> {
        let known = self.known.competence.as_ref();
        let names = known.map_or_else(Vec::new, |(competence, _)| competence.names());
        let owned = |names: Vec<&str>| names.into_iter().map(str::to_owned).collect();
        let questions = self.examiners.values().map(|asked| {
            let name = &asked.name;
            let others = names.iter().copied().filter(|other| *other != name);
            let (mut alike, others): (Vec<&str>, Vec<&str>) =
                others.partition(|other| may_be(name, other));
            // Who is asked about too may be recorded in the same go: initials may be theirs.
            let beside = self.examiners.values().map(|one| one.name.as_str());
            let is_longer = |other: &&str| other.len() > name.len() && may_be(name, other);
            alike.extend(beside.filter(is_longer));
            alike.dedup();
            Question::Examiner {
                name: name.clone(),
                rows: asked.rows,
                first_row: asked.first_row,
                why: in_words(&asked.why),
                alike: owned(alike),
                others: owned(others),
                kinds: asked.kinds.iter().copied().collect(),
                first_day: asked.first_day,
            }
        });
        questions.collect()
    }
}

/// The reasons in one line, the one with the most rows first.
fn in_words(why: &BTreeMap<String, (String, usize)>) -> String {
    /// How many reasons a question tells.
    const MOST: usize = 2;
    let mut why: Vec<&(String, usize)> = why.values().collect();
    why.sort_by_key(|(_, rows)| std::cmp::Reverse(*rows));
    let told: Vec<&str> = why.iter().take(MOST).map(|(why, _)| why.as_str()).collect();
    told.join(" ")
}

/// Puts what the list says of an examination into the note, in its own words.
fn keep_as_history(row: &mut ReadRow) {
    let (on, by, due) = taken_out(row);
    let found = row.values.get(&Field::Verdict);
    let found = found.map_or_else(String::new, |found| format!(", result \"{}\"", found.shown));
    let (begins, ends) = KEPT;
    row.note.push(format!(
        "{begins}{on}{by}{found}{due}{ends} Kept as a note: no thorough examination by a competent person."
    ));
}

/// Takes the day of an examination, who made it and when the next is due out of a row, in the words of the list; what
/// its remarks say of the markings is no more than the rest of it.
pub(super) fn taken_out(row: &mut ReadRow) -> (String, String, String) {
    if row.worded.remove(&Field::MarkingsReadable) {
        row.values.remove(&Field::MarkingsReadable);
    }
    let mut take = |field| row.values.remove(&field).map(|given| given.shown);
    let (on, by) = (take(Field::LastExamined), take(Field::Examiner));
    let due = take(Field::NextDue);
    let by = by.filter(|by| !by.is_empty());
    let by = by.map_or_else(String::new, |by| format!(" by {by}"));
    let due = due.map_or_else(String::new, |due| format!("{NEXT_DUE}{due}"));
    (on.unwrap_or_default(), by, due)
}

/// What is asked of the examinations under a name.
pub(super) fn sentence(
    name: &str,
    (rows, first_row): (&str, u32),
    why: &str,
    alike: &[String],
) -> String {
    if name.is_empty() {
        return format!(
            "The list does not say who made the last examination in {rows}, first in row {first_row}. Who was it?"
        );
    }
    let whose = match alike {
        [] => String::new(),
        people => format!(" It may be {}.", people.join(" or ")),
    };
    format!(
        "\"{name}\" made the last examination in {rows}, first in row {first_row}. {why}{whose} What of these examinations?"
    )
}

/// What can be said of examinations: that they are one of these people's, or none that count; as the words for programs
/// and for people.
pub fn whose<'a>(people: impl Iterator<Item = &'a String>) -> Vec<(String, String)> {
    let people = people.filter(|name| *name != HISTORY);
    let mut choices: Vec<(String, String)> = people
        .map(|name| (name.clone(), format!("They are {name}'s")))
        .collect();
    let history = "Keep these as notes, not as examinations";
    choices.push((HISTORY.to_owned(), history.to_owned()));
    choices
}
