//! A strength that such gear hardly ever has is asked about, in a row and where it is said of a model.

use super::answer::IN_NOTE;
use super::assemble::Assembly;
use super::fate::Fate;
use super::field::Field;
use super::given::is_strength;
use super::grouping::Group;
use super::question::Question;
use super::row::{ReadRow, Reading};
use crate::domain::entered::EnteredForce;
use crate::domain::rating::doubt::{is_far_out, tenth, why};

/// The force that a text says, where it is more than such gear holds.
fn beyond(text: &str) -> Option<EnteredForce> {
    let force = EnteredForce::read(text, None).ok()?;
    is_far_out(force).then_some(force)
}

/// What is asked of it, inside a list of questions; nothing where a text under strengths says something else.
pub(super) fn sentence(word: &str, what: &str, where_it_stands: &str) -> Option<String> {
    let force = beyond(word)?;
    let why = why();
    Some(format!(
        "Is the {what} really {force}? {why} It stands in {where_it_stands}."
    ))
}

/// What can be said of it: that it is so, that it is a tenth, or that nobody knows.
pub(super) fn choices(word: &str) -> Option<Vec<(String, String)>> {
    let force = beyond(word)?;
    let tenth = tenth(force);
    let choices = [
        (
            tenth.clone(),
            format!("It is {tenth}: the decimal mark was lost"),
        ),
        (force.to_string(), format!("It is really {force}")),
        (
            IN_NOTE.to_owned(),
            "It is kept in the note; the strength is not known".to_owned(),
        ),
    ];
    Some(choices.into())
}

impl Reading<'_> {
    /// Asks about strengths that such gear hardly ever has, each number once.
    pub(super) fn doubt_strengths(&mut self, read: &mut ReadRow) {
        if !read.kind.is_some_and(|kind| kind.seldom_holds_more()) {
            return;
        }
        let doubted = read
            .values
            .iter()
            .filter(|(field, given)| is_strength(**field) && beyond(&given.text).is_some());
        let doubted: Vec<_> = doubted
            .map(|(field, given)| (*field, given.clone()))
            .collect();
        for (field, mut given) in doubted {
            read.values.remove(&field);
            let said = self.answers.word(field, &given.text).map(str::to_owned);
            if said.as_deref() == Some(IN_NOTE) {
                read.note
                    .push(format!("{}: {}", field.label(), given.shown));
                continue;
            }
            if let Some(force) = said.and_then(|said| EnteredForce::read(&said, None).ok()) {
                given.text = force.to_string();
                read.values.insert(field, given);
            } else {
                read.wait(field);
                self.ask_word(field, &given.text, read);
            }
        }
    }
}

impl Assembly<'_> {
    /// Asks the same of what was said of a model; gives why its items wait.
    pub(super) fn doubt_said(&mut self, group: &mut Group) -> Option<Fate> {
        let mut waits = None;
        let said = group.read_in.keys().copied();
        let said: Vec<Field> = said.filter(|field| is_strength(*field)).collect();
        for field in said {
            let text = group.text(field);
            if !group.kind.seldom_holds_more() || beyond(&text).is_none() {
                continue;
            }
            let answer = self.answers.word(field, &text);
            if answer == Some(IN_NOTE) {
                group.values.remove(&field);
            } else if let Some(force) = answer.and_then(|said| EnteredForce::read(said, None).ok())
            {
                let said = (force.to_string(), group.first_row);
                group.values.insert(field, said);
            } else {
                waits = Some(Fate::Asked);
                self.differing.push(Question::Word {
                    field,
                    word: text,
                    rows: group.rows,
                    first_row: group.first_row,
                });
            }
        }
        waits
    }
}

/// Asks once of a number what a row and what was said of a model ask.
pub(super) fn asked_once(questions: &mut Vec<Question>) {
    let mut kept: Vec<Question> = Vec::new();
    for question in std::mem::take(questions) {
        let same = |one: &&mut Question| {
            matches!((&**one, &question),
            (Question::Word { field, word, .. }, Question::Word { field: of, word: other, .. })
                if field == of && word == other)
        };
        match (kept.iter_mut().find(same), &question) {
            (Some(Question::Word { rows, .. }), Question::Word { rows: more, .. }) => *rows += more,
            _ => kept.push(question),
        }
    }
    *questions = kept;
}
