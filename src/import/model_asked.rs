//! What is asked of single models, and of whoever examined.

use super::approvals::ALL;
use super::assemble::Assembly;
use super::examiner;
use super::field::Field;
use super::grouping::Group;
use super::question::{Question, counted};
use super::said;

impl Assembly<'_> {
    /// Asks to which of several approvals a rated load belongs; whether it is open.
    pub(super) fn ask_load(&mut self, group: &mut Group) -> bool {
        let standards = group.load_in_doubt();
        if standards.is_empty() {
            return false;
        }
        let title = group.title();
        let said = self.answers.word(Field::RatedLoad, &title);
        group.load_of = said
            .filter(|said| *said == ALL || standards.iter().any(|one| one == said))
            .map(str::to_owned);
        if group.load_of.is_some() {
            return false;
        }
        self.of_models.push(Question::LoadOf {
            model: title,
            load: group.text(Field::RatedLoad),
            standards,
            rows: group.rows,
            first_row: group.first_row,
        });
        true
    }
}

impl Assembly<'_> {
    /// Asks for the other end of a range of ropes of which only one is known; whether it is open.
    pub(super) fn ask_rope_end(&mut self, group: &mut Group) -> bool {
        let ends = [Field::RopeLeast, Field::RopeMost].map(|end| group.text(end));
        let [least, most] = ends;
        let unread = [Field::RopeRange, Field::RopeLeast, Field::RopeMost];
        let unread = unread.iter().any(|field| group.unread.contains_key(field));
        if group.approvals.is_empty() || unread || least.is_empty() == most.is_empty() {
            return false;
        }
        group.rope_open = true;
        if group.rope_unknown {
            return false;
        }
        let (missing, given) = if least.is_empty() {
            (Field::RopeLeast, most)
        } else {
            (Field::RopeMost, least)
        };
        self.of_models.push(Question::RopeEnd {
            model: group.title(),
            missing,
            given,
            rows: group.rows,
            first_row: group.first_row,
        });
        true
    }
}

impl Question {
    /// What is asked of single models, of whoever examined, and where the list is silent, as a sentence.
    pub(super) fn sentence_of_records(&self) -> String {
        match self {
            Self::RopeEnd {
                model,
                missing,
                given,
                rows,
                ..
            } => rope_sentence(model, *missing, given, &counted(*rows, "row")),
            Self::LoadOf {
                model,
                load,
                standards,
                rows,
                ..
            } => load_sentence(model, load, standards, &counted(*rows, "row")),
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
                earlier,
            } => said::sentence(*field, (*rows, *first_row), earlier.as_ref()),
            _ => String::new(),
        }
    }
}

/// What is asked where only one end of a range is known.
fn rope_sentence(model: &str, missing: Field, given: &str, rows: &str) -> String {
    let (known, asked) = match missing {
        Field::RopeLeast => ("thickest", "thinnest"),
        _ => ("thinnest", "thickest"),
    };
    format!(
        "Of the ropes that {model} takes ({rows}) the list gives only the {known}, {given}. Which is the {asked}? An approval holds both ends, and none is made up; \"unknown\" keeps what is known in the note."
    )
}

/// What is asked of a rated load beside several standards.
fn load_sentence(model: &str, load: &str, standards: &[String], rows: &str) -> String {
    format!(
        "{model} ({rows}) has one rated load, {load}, and approvals to {}. To which does it belong? Each standard rates its own.",
        standards.join(" and ")
    )
}

/// What can be answered, as the words for programs and for people.
pub(super) fn load_choices(standards: &[String]) -> Vec<(String, String)> {
    let own = standards.iter();
    let own = own.map(|one| (one.clone(), format!("to {one} alone")));
    let all = (ALL.to_owned(), "to each of them".to_owned());
    own.chain([all]).collect()
}
