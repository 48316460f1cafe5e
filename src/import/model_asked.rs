//! What is asked of single models, and of whoever examined.

use uuid::Uuid;

use super::approvals::{ALL, title};
use super::assemble::Assembly;
use super::field::Field;
use super::grouping::Group;
use super::load_each;
use super::question::{Question, counted};
use super::remark::Remarks;
use super::{examiner, life_asked, said};
use crate::domain::ModelId;
use crate::domain::fitness::approvals_without_load;

impl Assembly<'_> {
    /// Asks to which of several approvals a rated load belongs. One that was said here was asked for by the name of its
    /// approval, and is not asked about again.
    pub(super) fn ask_load(&mut self, group: &mut Group) {
        let standards = group.load_in_doubt();
        if standards.is_empty() {
            return;
        }
        let title = group.title();
        let said = self.answers.word(Field::RatedLoad, &title);
        let said = said.filter(|said| *said == ALL || standards.iter().any(|one| one == said));
        group.load_of = match said {
            Some(said) => Some(said.to_owned()),
            None if group.read_in.contains_key(&Field::RatedLoad) => self.without_load(group),
            None => None,
        };
        if group.load_of.is_none() {
            self.open.push(Question::LoadOf {
                model: title,
                load: group.text(Field::RatedLoad),
                standards,
                rows: group.rows,
                first_row: group.first_row,
            });
        }
    }

    /// The approval of which jobs say that its rated load is not known.
    fn without_load(&self, group: &Group) -> Option<String> {
        let rulebook = self.known.rulebook.as_deref()?;
        let mut bare = group.clone();
        bare.values.remove(&Field::RatedLoad);
        let model = bare.draft(&mut Remarks::default());
        let model = model.check(ModelId(Uuid::nil()), 1).ok()?;
        let (approval, _) = approvals_without_load(&model, rulebook).next()?;
        let at = model.approvals.iter().position(|one| one == approval)?;
        bare.approvals.get(at).map(title)
    }

    /// Asks for the other end of a range of ropes of which only one is known, once for all models with that range.
    pub(super) fn ask_rope_end(&mut self, group: &Group) {
        let unread = [Field::RopeRange, Field::RopeLeast, Field::RopeMost];
        let unread = unread.iter().any(|field| group.unread.contains_key(field));
        if group.approvals.is_empty() || unread || !group.is_rope_open() || group.rope_unknown {
            return;
        }
        let [least, most] = [Field::RopeLeast, Field::RopeMost].map(|end| group.text(end));
        let (end, known) = if least.is_empty() {
            (Field::RopeLeast, most)
        } else {
            (Field::RopeMost, least)
        };
        for question in &mut self.open {
            if let Question::RopeEnd {
                models,
                missing,
                given,
                rows,
                first_row,
            } = question
                && (*missing, &*given) == (end, &known)
            {
                models.push(group.title());
                *rows += group.rows;
                *first_row = group.first_row.min(*first_row);
                return;
            }
        }
        self.open.push(Question::RopeEnd {
            models: vec![group.title()],
            missing: end,
            given: known,
            rows: group.rows,
            first_row: group.first_row,
        });
    }
}

impl Question {
    /// What is asked of single models, of whoever examined, and where the list is silent, as a sentence.
    pub(super) fn sentence_of_records(&self) -> String {
        match self {
            Self::RopeEnd {
                models,
                missing,
                given,
                rows,
                ..
            } => rope_sentence(models, *missing, given, &counted(*rows, "row")),
            Self::LoadOf {
                model,
                load,
                standards,
                rows,
                ..
            } => load_sentence(model, load, standards, &counted(*rows, "row")),
            Self::Life {
                model, field, rows, ..
            } => life_asked::sentence(model, *field, &counted(*rows, "row")),
            Self::Examiner {
                name,
                rows,
                first_row,
                why,
                alike,
                ..
            } => examiner::sentence(name, (&counted(*rows, "row"), *first_row), why, alike),
            Self::Silent {
                field,
                rows,
                first_row,
                kinds,
                earlier,
                ..
            } => said::sentence(*field, (*rows, *first_row, kinds), earlier.as_ref()),
            _ => String::new(),
        }
    }
}

/// What is asked where only one end of a range is known.
fn rope_sentence(models: &[String], missing: Field, given: &str, rows: &str) -> String {
    let (known, asked) = match missing {
        Field::RopeLeast => ("thickest", "thinnest"),
        _ => ("thinnest", "thickest"),
    };
    let take = if models.len() == 1 { "takes" } else { "take" };
    format!(
        "Of the ropes that {} {take} ({rows}) the list gives only the {known}, {given}. Which is the {asked}? It may stay open: then what is known stands on record alone, none is made up, and it is asked for where a rope is to run through.",
        listed(models)
    )
}

/// Names in a sentence: "A, B and C".
fn listed(names: &[String]) -> String {
    match names {
        [front @ .., last] if !front.is_empty() => format!("{} and {last}", front.join(", ")),
        _ => names.concat(),
    }
}

/// What is asked of a rated load beside several standards.
fn load_sentence(model: &str, load: &str, standards: &[String], rows: &str) -> String {
    format!(
        "{model} ({rows}) has one rated load, {load}, and approvals to {}. To which does it belong? Each standard rates its own; where the list is to give each, it says so in one cell: \"{}\". While it stays open, the load is kept in the note and counts for none.",
        standards.join(" and "),
        load_each::example(load, standards)
    )
}

/// To which of these approvals a rated load can belong, as the words for programs and for people.
pub fn load_choices(standards: &[String]) -> Vec<(String, String)> {
    let own = standards.iter().filter(|one| *one != ALL);
    let own = own.map(|one| (one.clone(), format!("to {one} alone")));
    let all = match standards.len() {
        2 => "to both",
        _ => "to each of them",
    };
    let all = (ALL.to_owned(), all.to_owned());
    own.chain([all]).collect()
}
