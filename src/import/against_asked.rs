//! What a list says of a model otherwise than the register is asked once a model and field: an import changes no model,
//! and no row is lost for what another says.

use std::collections::BTreeMap;

use super::against;
use super::answer::LEAVE_OUT;
use super::assemble::Assembly;
use super::differs_asked::APART;
use super::fate::{Fate, RemarkKind};
use super::field::Field;
use super::grouping::Group;
use super::heading::shortened;
use super::question::{Question, lower_first};
use super::remark::{Remarks, rows_listed};
use crate::domain::date::write_day;
use crate::domain::{Model, fold};

/// The answer by which what the register has holds of the rows that say otherwise.
pub(super) const REGISTER: &str = "register";

/// What the register has of a field, and what rows say otherwise, each with its rows.
type OneAgainst = (String, Vec<(String, Vec<u32>)>);
type Against = BTreeMap<Field, OneAgainst>;

/// A field in a sentence.
fn of(field: Field) -> String {
    lower_first(&field.label()).replace(", loaded as usual", "")
}

/// What rows said otherwise than the register, and for which it was said that the register holds.
#[derive(Clone, Debug)]
pub(super) struct Held {
    /// Maker and name of the model in one line.
    pub(super) title: String,
    pub(super) field: Field,
    pub(super) theirs: String,
    pub(super) ours: String,
    pub(super) rows: Vec<u32>,
}

impl Group {
    /// What its rows say otherwise than the register has it.
    pub(super) fn against_register(&self, model: &Model) -> Against {
        let mut found = Against::new();
        for (field, said) in &self.said {
            for one in said {
                let mut alone = self.clone();
                alone.take(*field, one);
                let draft = alone.draft(&mut Remarks::default());
                let mut all = against::register(&draft, model).into_iter();
                if let Some(other) = all.find(|other| other.field == *field) {
                    let (_, rows) = found.entry(*field).or_insert((other.theirs, Vec::new()));
                    rows.push((one.text.clone(), one.rows.clone()));
                }
            }
        }
        for other in against::register(&self.draft(&mut Remarks::default()), model) {
            let all = self.numbers.iter().copied().collect();
            let rows = || (other.theirs.clone(), vec![(other.ours.clone(), all)]);
            found.entry(other.field).or_insert_with(rows);
        }
        found
    }
}

impl Assembly<'_> {
    /// Settles what rows say otherwise than the register by what was answered, and asks the rest; gives why the items of
    /// the model wait.
    pub(super) fn settle_against(&mut self, group: &mut Group, model: &Model) -> Option<Fate> {
        let (title, mut waits) = (model.title(), None);
        let ask = |field, theirs, said| asked(&title, field, (theirs, said), false);
        let mut apart = Vec::new();
        for (field, (theirs, said)) in group.against_register(model) {
            match self.answers.agreed(&title, field) {
                Some(REGISTER) => self.all_held(&title, field, (theirs, said)),
                Some(LEAVE_OUT) => self.left.extend(rows_of(&said)),
                // Such a row has a model of its own already, unless it waits for another answer.
                Some(APART) => apart.push(ask(field, theirs, said)),
                _ => {
                    waits = Some(Fate::Asked);
                    self.differing.push(ask(field, theirs, said));
                }
            }
            // It is no question any more which of its rows is right.
            group.said.remove(&field);
        }
        apart.retain(|one| {
            let Question::Differs { said, .. } = one else {
                return false;
            };
            waits.is_none() && rows_of(said).any(|row| !self.left.contains(&row))
        });
        if !apart.is_empty() {
            waits = Some(Fate::Asked);
            self.differing.extend(apart);
        }
        waits
    }

    /// The same of items that are there already, where the list updates them: they stay items of their model, whatever others
    /// become.
    pub(super) fn settle_there(&mut self, group: &Group, model: &Model) {
        let title = model.title();
        for (field, (theirs, said)) in group.against_register(model) {
            match self.answers.agreed(&title, field) {
                Some(REGISTER | APART) => self.all_held(&title, field, (theirs, said)),
                Some(LEAVE_OUT) => self.left.extend(rows_of(&said)),
                _ => {
                    self.waiting.extend(rows_of(&said));
                    self.ask_there(&title, field, (theirs, said));
                }
            }
        }
    }

    /// Asks, together with what is asked of new items of the model.
    fn ask_there(&mut self, title: &str, field: Field, (theirs, ours): OneAgainst) {
        let mut of_new = self.differing.iter_mut();
        let of_new = of_new.find_map(|one| match one {
            Question::Differs {
                model,
                field: of,
                said,
                register: Some(_),
                ..
            } if fold(model) == fold(title) && *of == field => Some(said),
            _ => None,
        });
        match of_new {
            Some(said) => said.extend(ours),
            None => self
                .differing
                .push(asked(title, field, (theirs, ours), true)),
        }
    }

    fn all_held(&mut self, title: &str, field: Field, (theirs, said): OneAgainst) {
        for (ours, rows) in said {
            let (title, theirs) = (title.to_owned(), theirs.clone());
            self.register_holds(&Held {
                title,
                field,
                theirs,
                ours,
                rows,
            });
        }
    }

    /// Says that what the register has holds of rows that say otherwise, here and in the notes of their items.
    pub(super) fn register_holds(&mut self, held: &Held) {
        let (theirs, ours, field) = (&held.theirs, &held.ours, of(held.field));
        let sentence = format!(
            "{theirs} holds as the register has it, as was said: the {field} of {} is not {}.",
            shortened(&held.title),
            shortened(ours)
        );
        self.remarks
            .add_rows(RemarkKind::Other, &held.rows, &sentence);
        let doubt = format!(
            "The list of {} says {field} {ours}; the register has {theirs} for the model.",
            write_day(self.today)
        );
        for row in &held.rows {
            self.doubts.entry(*row).or_default().push(doubt.clone());
        }
    }
}

fn asked(model: &str, field: Field, (theirs, said): OneAgainst, is_there: bool) -> Question {
    Question::Differs {
        model: model.to_owned(),
        field,
        said,
        has_cautious: false,
        register: Some(theirs),
        is_there,
        refused: None,
    }
}

/// A line of a note without the day of the list that says so: it is one line, whichever list says it again.
pub(super) fn undated(line: &str) -> &str {
    let dated = line.strip_prefix("The list of ");
    dated
        .and_then(|dated| dated.split_once(' '))
        .map_or(line, |(_, said)| said)
}

/// The rows that say these things.
fn rows_of(said: &[(String, Vec<u32>)]) -> impl Iterator<Item = u32> {
    said.iter().flat_map(|(_, rows)| rows.iter().copied())
}

/// What is asked.
pub(super) fn sentence(
    (model, field): (&str, Field),
    theirs: &str,
    said: &[(String, Vec<u32>)],
) -> String {
    let said = said.iter();
    let said: Vec<String> = said
        .map(|(text, rows)| format!("{} ({})", shortened(text), rows_listed(rows)))
        .collect();
    format!(
        "The register has {theirs} as the {} of {}; the list says {}. Which holds? An import does not change a model: where the list is right, put the record of the model right first.",
        of(field),
        shortened(model),
        said.join(", ")
    )
}

/// What can be answered to that. Items that are there already stay items of their model.
pub(super) fn choices(
    theirs: &str,
    said: &[(String, Vec<u32>)],
    is_there: bool,
) -> Vec<(String, String)> {
    let mut rows: Vec<u32> = said.iter().flat_map(|(_, rows)| rows.clone()).collect();
    rows.sort_unstable();
    let rows = rows_listed(&rows);
    let pair = |key: &str, words: String| (key.to_owned(), words);
    let register = if is_there {
        format!(
            "{theirs}, as the register has it: what the list says goes into the notes of {rows}"
        )
    } else {
        format!("{theirs}, as the register has it: {rows} come in as items of it all the same")
    };
    let apart = format!("Both: {rows} get a model of their own, named after what differs");
    let left_out = format!("Nobody knows: {rows} are left out, and no other row");
    let apart = (!is_there).then(|| pair(APART, apart));
    let first = std::iter::once(pair(REGISTER, register));
    let last = std::iter::once(pair(LEAVE_OUT, left_out));
    first.chain(apart).chain(last).collect()
}
