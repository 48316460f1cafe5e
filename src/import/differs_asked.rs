//! What rows of one model say differently of one field is asked once, or settled by what was answered.

use std::collections::BTreeSet;

use super::answer::Answers;
use super::assemble::Assembly;
use super::fate::{Fate, RemarkKind};
use super::field::Field;
use super::grouping::Group;
use super::heading::shortened;
use super::question::{Question, lower_first};
use super::remark::rows_listed;
use super::variant::{Variant, most_cautious};
use super::{against_asked, standard};
use crate::domain::fold;

/// The answer that gives rows which say otherwise a model of their own.
pub(super) const APART: &str = "apart";

impl Group {
    /// Leaves an edition or a class to the rows that have it with another standard than the one that holds.
    fn leave_to(&mut self, rows: &BTreeSet<u32>, field: Field, said: &mut Vec<Variant>) {
        for one in said.iter_mut() {
            one.rows.retain(|row| !rows.contains(row));
        }
        said.retain(|one| !one.rows.is_empty());
        match said.first() {
            Some(first) => self.take(field, first),
            None => drop(self.values.remove(&field)),
        }
    }
}

impl Assembly<'_> {
    /// Settles what the rows of a model say otherwise of each other by what was answered, and asks the rest; gives why
    /// its items wait.
    pub(super) fn settle(&mut self, group: &mut Group) -> Option<Fate> {
        let (title, mut waits) = (group.title(), None);
        let mut elsewhere = BTreeSet::new();
        for (field, mut said) in group.said.clone() {
            self.tell_rounded(&title, field, &said);
            if standard::BESIDE.contains(&field) && !elsewhere.is_empty() {
                group.leave_to(&elsewhere, field, &mut said);
            }
            if said.len() < 2 {
                continue;
            }
            let cautious = most_cautious(field, &said);
            let answer = self.answers.agreed(&title, field);
            let chosen = said
                .iter()
                .find(|one| Some(fold(&one.text)) == answer.map(fold));
            if chosen.is_none() {
                waits = Some(Fate::Asked);
                let pair = |one: &Variant| (one.text.clone(), one.rows.clone());
                let mut all: Vec<_> = said.iter().map(pair).collect();
                if let Some(at) = cautious {
                    all[..=at].rotate_right(1);
                }
                self.differing.push(Question::Differs {
                    model: title.clone(),
                    field,
                    said: all,
                    has_cautious: cautious.is_some(),
                    register: None,
                    is_there: false,
                    refused: None,
                });
            }
            let taken = chosen.or(cautious.map(|at| &said[at]));
            if let Some(taken) = taken.or(said.first()) {
                group.take(field, taken);
            }
            if field == Field::Standard {
                let others = said.iter().filter(|one| Some(*one) != chosen);
                elsewhere.extend(others.flat_map(|one| one.rows.iter().copied()));
            }
        }
        waits
    }

    fn tell_rounded(&mut self, title: &str, field: Field, said: &[Variant]) {
        for one in said.iter().filter(|one| one.is_rounded) {
            let sentence = format!(
                "Rows of {} say the {} in two units that agree within rounding: the lower, {}, counts.",
                shortened(title),
                lower_first(&field.label()),
                one.text
            );
            self.remarks
                .add_rows(RemarkKind::Other, &one.rows, &sentence);
        }
    }
}

/// What is asked of a model of whose field rows say several things.
pub(super) fn sentence(
    (model, field): (&str, Field),
    said: &[(String, Vec<u32>)],
    register: Option<&str>,
) -> String {
    if let Some(theirs) = register {
        return against_asked::sentence((model, field), theirs, said);
    }
    let count = match said.len() {
        2 => "two",
        3 => "three",
        _ => "several",
    };
    format!(
        "The rows of {} say {count} things of the {}. Which holds for all of them?",
        shortened(model),
        lower_first(&field.label())
    )
}

/// What can be answered to that.
pub(super) fn choices(
    said: &[(String, Vec<u32>)],
    has_cautious: bool,
    (register, is_there): (Option<&str>, bool),
) -> Vec<(String, String)> {
    if let Some(theirs) = register {
        return against_asked::choices(theirs, said, is_there);
    }
    let all = said.iter().enumerate().map(|(at, (text, rows))| {
        let cautious = if at == 0 && has_cautious {
            ": the cautious one"
        } else {
            ""
        };
        let words = format!("{} ({}){cautious}", shortened(text), rows_listed(rows));
        (text.clone(), words)
    });
    let apart = "Each what it says: a model of its own for each, named after what differs";
    all.chain([(APART.to_owned(), apart.to_owned())]).collect()
}

impl Answers {
    /// What was said to hold of a field of which rows of a model say several things.
    pub(super) fn agreed(&self, title: &str, field: Field) -> Option<&str> {
        let mut said = self.agreed.iter();
        let (_, fields) = said.find(|(of, _)| fold(of) == fold(title))?;
        let text = fields.get(&field.key())?.trim();
        (!text.is_empty()).then_some(text)
    }
}
