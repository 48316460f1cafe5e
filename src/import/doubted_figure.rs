//! A strength, a load or a length that such gear hardly ever has is asked about, in a row and where it is said of a model;
//! not where the register has it, and somebody said there that it is so.

use std::collections::BTreeSet;

use super::answer::IN_NOTE;
use super::assemble::Assembly;
use super::fate::Fate;
use super::field::{Field, attributes_named};
use super::grouping::Group;
use super::question::{Question, lower_first};
use super::row::ReadRow;
use super::{against, load_each};
use crate::domain::entered::{EnteredForce, EnteredLength};
use crate::domain::rating::doubt::{Doubt, tenth};
use crate::domain::{Gear, Item, Kind, Model, confirmed_by, fold, in_other_unit};
use crate::rigging::StrengthKind;

/// How long gear is.
const LENGTH: Field = Field::Attribute("length");

/// The key of what is written down of gear, where it is asked about what such gear hardly ever has there.
fn asked_key(field: Field) -> Option<&'static str> {
    match field {
        Field::Attribute(key) => confirmed_by(key).map(|_| key),
        _ => None,
    }
}

/// Whether a field holds a figure by which gear is judged, and which is doubted where it is far out.
pub(super) fn is_figure(field: Field) -> bool {
    asked_key(field).is_some() || of(field).is_some()
}

/// What a figure is, inside a sentence.
pub(super) fn in_words(field: Field) -> String {
    if field == LENGTH {
        "length".to_owned()
    } else {
        lower_first(&field.label())
    }
}

/// What kind of strength a field holds, if it holds one.
fn of(field: Field) -> Option<StrengthKind> {
    match field {
        Field::Strength(of, _) => Some(of),
        Field::RatedLoad => Some(StrengthKind::RatedLoad),
        _ => None,
    }
}

/// The forces that a text says, and the weights of its masses; of several loads each.
fn forces(text: &str) -> Vec<EnteredForce> {
    let force = |text: &str| EnteredForce::read_with_weight(text).ok();
    match load_each::read(text) {
        Some(each) => each.iter().filter_map(|one| force(one.load())).collect(),
        None => force(text).into_iter().collect(),
    }
}

/// Whether a text says a load or a strength, and no name of a model.
pub fn says_load(text: &str) -> bool {
    !forces(text).is_empty()
}

/// Gear of a kind with what a list says of it.
fn gear<'a>(kind: Kind, said: impl Iterator<Item = (Field, &'a str)>) -> Gear {
    let usual = kind.modes().first().copied();
    let mut gear = Gear::from(kind);
    for (field, text) in said {
        match field {
            Field::Attribute("diameter") => gear.is_thick(text),
            Field::Strength(StrengthKind::Breaking, mode) => {
                if let (Some(mode), Ok(force)) = (mode.or(usual), EnteredForce::read(text, None)) {
                    gear.breaks_at(mode, force);
                }
            }
            _ => {}
        }
    }
    gear
}

/// Why it is asked about what a list says in a field; none where such gear may well have it.
fn doubt((kind, gear): (Kind, &Gear), field: Field, text: &str) -> Option<Doubt> {
    if let Some(key) = asked_key(field) {
        let value = kind.attribute(key)?.read(text).ok()?;
        return kind.doubts(key, &value);
    }
    let of = of(field)?;
    let mode = match field {
        Field::Strength(_, mode) => mode.or(kind.modes().first().copied()),
        _ => None,
    };
    let mut forces = forces(text).into_iter();
    forces.find_map(|force| gear.doubt(of, mode, force.quantity()))
}

/// Whether the register has this of a model, and somebody said there that it is so.
fn is_on_record(model: &Model, field: Field, text: &str) -> bool {
    if let Some(key) = asked_key(field) {
        let confirmed = model.attributes.confirmed(key);
        return confirmed.is_some_and(|value| value.to_string() == text);
    }
    let usual = model.kind.modes().first().copied();
    let (kind, mode) = match field {
        Field::Strength(of, mode) => (of, mode.or(usual)),
        _ => (StrengthKind::RatedLoad, usual),
    };
    let mut ratings = model.ratings.iter();
    let mut approvals = model.approvals.iter();
    let is_it = |theirs: String| against::same_force(&theirs, text);
    ratings.any(|one| {
        let same = one.kind == kind && Some(one.mode) == mode;
        one.confirmed && same && is_it(one.value.to_string())
    }) || approvals.any(|one| {
        let load = one.rated_load.filter(|_| one.confirmed);
        field == Field::RatedLoad && load.is_some_and(|load| is_it(load.to_string()))
    })
}

/// What is asked of it, inside a list of questions.
pub(super) fn sentence(doubt: &Doubt, word: &str, (what, stands): (&str, &str)) -> String {
    format!(
        "Is the {what} really {word}? {} It stands in {stands}.",
        doubt.why()
    )
}

/// What can be said of it: that it is so, that it is a tenth, or that nobody knows; nothing where a text is no strength.
pub(super) fn choices(word: &str) -> Option<Vec<(String, String)>> {
    if !says_load(word) {
        return None;
    }
    let mut choices = Vec::new();
    if load_each::read(word).is_none() {
        let tenth = tenth(word);
        let words = format!("It is {tenth}: the decimal mark was lost");
        choices.push((tenth, words));
    }
    choices.push((word.to_owned(), format!("It is really {word}")));
    let note = "It is kept in the note; the strength is not known";
    choices.push((IN_NOTE.to_owned(), note.to_owned()));
    Some(choices)
}

/// The same of what is written down of gear: that it is so, that the number of a length is in another unit, or that nobody knows.
pub(super) fn choices_of_attribute(field: Field, word: &str) -> Vec<(String, String)> {
    let length = EnteredLength::read(word, None).ok();
    let meant = length.and_then(in_other_unit).map(|meant| {
        let meant = meant.to_string();
        let words = format!("It is {meant}: the number is in another unit");
        (meant, words)
    });
    let so = (word.to_owned(), format!("It is really {word}"));
    let note = format!(
        "It is kept in the note; the {} is not known",
        in_words(field)
    );
    let note = (IN_NOTE.to_owned(), note);
    meant.into_iter().chain([so, note]).collect()
}

/// What was answered, as the register writes it; nothing where it is no such figure.
fn answered(field: Field, said: &str) -> Option<String> {
    match field {
        Field::Attribute(key) => {
            let read = attributes_named(key).next()?.read(said).ok()?;
            Some(read.to_string())
        }
        Field::Strength(StrengthKind::Breaking, _) => EnteredForce::read(said, None)
            .ok()
            .map(|force| force.to_string()),
        Field::Strength(..) => EnteredForce::read_with_weight(said)
            .ok()
            .map(|force| force.to_string()),
        _ => match load_each::read(said) {
            Some(each) => Some(load_each::text(&each)),
            None => load_each::load_of(said),
        },
    }
}

/// What becomes of what is doubted.
enum Settled {
    /// It is this.
    Is(String),
    InNote,
    Asked,
}

impl Assembly<'_> {
    /// Settles what is doubted by what was answered, or asks, each figure once.
    fn settle_doubt(
        &mut self,
        (mut why, doubt): (Doubt, impl Fn(&str) -> Option<Doubt>),
        said: (Field, &str),
        (rows, first_row): (usize, u32),
    ) -> Settled {
        let (field, mut text) = (said.0, said.1.to_owned());
        let mut seen = BTreeSet::new();
        // Only the figure itself says that it is so: another that such gear hardly ever has is asked about as well.
        while seen.insert(fold(&text)) {
            let answer = self.answers.word(field, &text);
            if answer == Some(IN_NOTE) {
                return Settled::InNote;
            }
            let Some(is) = answer.and_then(|said| answered(field, said)) else {
                break;
            };
            if fold(&is) == fold(&text) || against::same_force(&is, &text) {
                return Settled::Is(is);
            }
            match doubt(&is) {
                Some(again) => why = again,
                None => return Settled::Is(is),
            }
            text = is;
        }
        for question in &mut self.differing {
            if let Question::Word {
                field: of,
                word,
                rows: there,
                ..
            } = question
                && (*of, &*word) == (field, &text)
            {
                *there += rows;
                return Settled::Asked;
            }
        }
        self.differing.push(Question::Word {
            field,
            word: text,
            rows,
            first_row,
            doubts: Some(why),
            refused: None,
        });
        Settled::Asked
    }

    /// Asks about the figures of a row that such gear hardly ever has.
    pub(super) fn doubt_figures(&mut self, row: &mut ReadRow) {
        let Some(kind) = row.kind else { return };
        let names = [Field::Maker, Field::Model].map(|field| row.text(field));
        let known = self.known.model(names[0], names[1]);
        let doubted = row.values.iter().filter(|(field, given)| {
            let on_record = known.is_some_and(|model| is_on_record(model, **field, &given.text));
            is_figure(**field) && !on_record
        });
        let doubted: Vec<Field> = doubted.map(|(field, _)| *field).collect();
        for field in doubted {
            self.doubt_figure(row, kind, field);
        }
    }

    /// Asks the same of the lengths of an item that is there already, where the row gives it others.
    pub(super) fn doubt_length_of_there(&mut self, row: &mut ReadRow, (item, kind): (&Item, Kind)) {
        let attributes = kind.attributes().iter().map(|one| one.key);
        for key in attributes.filter(|key| confirmed_by(key).is_some()) {
            let theirs = item.attributes.length(key).map(|one| one.to_string());
            let is_same = theirs.is_some_and(|theirs| theirs == row.text(Field::Attribute(key)));
            if self.answers.update && !is_same {
                self.doubt_figure(row, kind, Field::Attribute(key));
            }
        }
    }

    fn doubt_figure(&mut self, row: &mut ReadRow, kind: Kind, field: Field) {
        let Some(mut given) = row.values.get(&field).cloned() else {
            return;
        };
        let said = row.values.iter();
        let gear = gear(
            kind,
            said.map(|(field, given)| (*field, given.text.as_str())),
        );
        let doubt = |text: &str| doubt((kind, &gear), field, text);
        let Some(why) = doubt(&given.text) else {
            return;
        };
        row.values.remove(&field);
        match self.settle_doubt((why, doubt), (field, &given.text), (1, row.number)) {
            Settled::Is(text) => {
                self.tell_changed(row.number, field, (&given.text, &text));
                given.text = text;
                row.values.insert(field, given);
            }
            Settled::InNote => row.note.push(format!("{}: {}", field.label(), given.shown)),
            Settled::Asked => row.wait(field),
        }
    }

    /// Says that another figure is taken than the list has.
    fn tell_changed(&mut self, row: u32, field: Field, (from, to): (&str, &str)) {
        if against::same_force(from, to) {
            return;
        }
        let what = in_words(field);
        let sentence = format!("{from} is taken as {to}, as was said: it is the {what}.");
        self.remarks.add(row, sentence);
    }

    /// Asks the same once more of a model with what was said of it: its figures, and those that a diameter which was said makes
    /// far out. Gives why its items wait.
    pub(super) fn doubt_said(&mut self, group: &mut Group) -> Option<Fate> {
        let mut waits = None;
        let figures = group.values.keys().copied().filter(|one| is_figure(*one));
        let figures: Vec<Field> = figures.collect();
        for field in figures {
            let text = group.text(field);
            let said = group.values.iter();
            let gear = gear(
                group.kind,
                said.map(|(field, (text, _))| (*field, text.as_str())),
            );
            let doubt = |text: &str| doubt((group.kind, &gear), field, text);
            let Some(why) = doubt(&text) else {
                continue;
            };
            let at = (group.rows, group.first_row);
            match self.settle_doubt((why, doubt), (field, &text), at) {
                Settled::Is(text) => {
                    group.values.insert(field, (text, group.first_row));
                }
                Settled::InNote => {
                    group.values.remove(&field);
                }
                Settled::Asked => waits = Some(Fate::Asked),
            }
        }
        waits
    }
}
