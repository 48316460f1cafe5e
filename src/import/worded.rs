//! Words of a row: its kind, its state, its standards, and what its description states.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::Stated;
use super::cell::Place;
use super::field::Field;
use super::heading::{Column, ColumnUse, shortened};
use super::rope_words::takes_rope;
use super::row::{Given, ReadRow, Reading};
use super::table::{Cell, TableRow};
use super::unit::Unit;
use super::{
    load_words, marking_words, number, rope_range, rope_remark, rope_said, rope_uses, size,
    standard, stated, synonym, unit, word,
};
use crate::domain::entered::LengthUnit;
use crate::domain::rulebook::same_class;
use crate::domain::{ItemState, Kind, Verdict, fold};

impl Reading<'_> {
    /// The texts of a row that describe its item, descriptions and the model's name, each with its heading. A
    /// description is one too where it is kept as a note.
    pub(super) fn descriptions(&self, row: &TableRow) -> Vec<(String, String)> {
        let describes = |column: &&Column| match column.becomes {
            ColumnUse::Field(Field::Model) => true,
            ColumnUse::InNote | ColumnUse::Field(Field::Note) => {
                synonym::is_description(&column.heading)
            }
            _ => false,
        };
        let columns = self.headings.columns.iter().filter(describes);
        let texts = columns.filter_map(|column| worded(row, column));
        texts.collect()
    }

    /// Takes what words state of what no column of the list holds; where two texts of a row say two things, neither is
    /// taken. Of remarks only loads, the ropes that a device takes and
    /// what a rope is are read, and what an examination says of the markings.
    pub(super) fn take_stated(&mut self, row: &TableRow, read: &mut ReadRow) {
        let Some(kind) = read.kind else { return };
        let texts = self.texts_of(row, kind);
        self.take_sizes(&texts, kind, read);
        let mut all: BTreeMap<Field, BTreeSet<String>> = BTreeMap::new();
        for (field, value) in texts.iter().flat_map(|text| text.states(kind)) {
            if !self.is_said(field, read) {
                all.entry(field).or_default().insert(value);
            }
        }
        self.described += usize::from(!all.is_empty());
        if self.answers.stated == Some(Stated::LeaveOut) {
            return;
        }
        let doubtful: BTreeSet<Field> = all
            .iter()
            .filter(|(_, values)| values.len() > 1)
            .map(|(field, _)| *field)
            .collect();
        for field in &doubtful {
            let sentence = format!(
                "The words of this row say two things of the {}: neither is taken.",
                in_sentence(*field)
            );
            self.read.remarks.add(row.number, sentence);
        }
        let is_rope_doubtful = doubtful.iter().any(|field| unit::is_rope(*field));
        all.retain(|field, _| {
            !(doubtful.contains(field) || is_rope_doubtful && unit::is_rope(*field))
        });
        for text in texts {
            let mut words = Vec::new();
            for (field, value) in text.states(kind) {
                if !all.contains_key(&field) || read.values.contains_key(&field) {
                    continue;
                }
                words.push(match field {
                    Field::MarkingsReadable => markings_in_words(&value, read),
                    _ => format!("{} {value}", in_sentence(field)),
                });
                let shown = text.text.clone();
                read.values.insert(field, Given { text: value, shown });
                read.worded.insert(field);
            }
            if !words.is_empty() {
                self.notes.read_from(&text.heading);
                let sentence = format!(
                    "Read from \"{}\" under \"{}\": {}.",
                    shortened(&text.text),
                    shortened(&text.heading),
                    words.join(", ")
                );
                self.read.remarks.add(row.number, sentence);
            }
        }
    }

    /// Takes the ropes of sizes that say more than one range of them.
    fn take_sizes(&mut self, texts: &[Worded], kind: Kind, read: &mut ReadRow) {
        if self.answers.stated == Some(Stated::LeaveOut) || !takes_rope(kind) {
            return;
        }
        for text in texts
            .iter()
            .filter(|text| matches!(text.stands, Stands::Size))
        {
            if !self.is_said(Field::RopeRange, read)
                && let Some(ropes) = rope_uses::read(&text.text)
            {
                self.take_ropes((&text.text, ropes), &text.heading, read);
            }
        }
    }

    /// The texts of a row in which something may be stated: the kind, descriptions, then remarks.
    fn texts_of(&self, row: &TableRow, kind: Kind) -> Vec<Worded> {
        let of_kind = self.headings.of(Field::Kind);
        let of_kind = of_kind.and_then(|column| worded(row, column));
        let described = of_kind.into_iter().chain(self.descriptions(row));
        let text = |(heading, text), stands| Worded {
            heading,
            text,
            stands,
        };
        let mut texts: Vec<Worded> = described.map(|one| text(one, Stands::Name)).collect();
        if kind.is_beside_the_rig() {
            return texts;
        }
        let columns = self.headings.columns.iter();
        let beside = columns.filter_map(|column| {
            let stands = match column.becomes {
                ColumnUse::Field(size::FIELD) if kind.attribute("size").is_none() => Stands::Size,
                ColumnUse::InNote if size::is_heading(&column.heading) => Stands::Size,
                ColumnUse::InNote | ColumnUse::Field(Field::Note | Field::StateReason) => {
                    Stands::Remark
                }
                _ => return None,
            };
            let worded = match stands {
                Stands::Size => sized(row, column, kind),
                _ => worded(row, column),
            };
            Some((worded?, stands))
        });
        for ((heading, remark), stands) in beside {
            if texts.iter().all(|text| text.heading != heading) {
                texts.push(text((heading, remark), stands));
            }
        }
        texts
    }

    /// Whether a column says it, so that words are not asked: of ropes and markings in this row, of the rest in any.
    fn is_said(&self, field: Field, read: &ReadRow) -> bool {
        if unit::is_rope(field) {
            let ends = [Field::RopeLeast, Field::RopeMost, Field::RopeRange];
            let said = |end: &Field| read.values.contains_key(end) || read.says(*end);
            return ends.iter().any(said);
        }
        let diameter = field == Field::Attribute("diameter");
        if diameter && rope_range::shared(self.headings).is_some() {
            return true;
        }
        let day = Field::LastExamined;
        let examined = read.values.contains_key(&day) || read.says(day);
        // Remarks say of markings what somebody saw who examined.
        (field == Field::MarkingsReadable && !examined) || self.headings.of(field).is_some()
    }

    pub(super) fn ask_word(&mut self, field: Field, word: &str, read: &mut ReadRow) {
        read.ask(field);
        let seen = self.words.entry((field, fold(word)));
        let seen = seen.or_insert_with(|| (word.to_owned(), 0, read.number));
        seen.1 += 1;
    }

    /// The key of a state or a verdict.
    pub(super) fn word(&self, field: Field, text: &str) -> Option<String> {
        let said = self.answers.word(field, text).unwrap_or(text);
        let key = if field == Field::State {
            word::state(said)
                .or_else(|| ItemState::from_key(said))
                .map(ItemState::key)
        } else {
            word::verdict(said)
                .or_else(|| Verdict::from_key(said))
                .map(Verdict::key)
        };
        key.map(str::to_owned)
    }

    /// Takes the standards of a cell apart; gives them in words, if nothing about them is asked.
    pub(super) fn standards(
        &mut self,
        text: &str,
        place: Place<'_>,
        read: &mut ReadRow,
    ) -> Option<String> {
        let found = standard::read_under(&place.column.heading, text, self.answers);
        for written in &found.asked {
            self.ask_word(Field::Standard, written, read);
        }
        if !found.asked.is_empty() {
            read.wait(Field::Standard);
            return None;
        }
        if !found.approvals.is_empty() && !standard::is_plain(text, &found.title) {
            let sentence = format!("\"{}\" is read as {}.", shortened(text), found.title);
            self.read.remarks.add(read.number, sentence);
        }
        if found.is_cut {
            read.note.push(format!("{}: {text}", place.column.heading));
        }
        if standard::is_no_protection(text) && self.headings.of(Field::LifeSupport).is_none() {
            let (no, shown) = ("no".to_owned(), text.to_owned());
            let given = Given { text: no, shown };
            read.values.insert(Field::LifeSupport, given);
        }
        if found.approvals.is_empty() {
            return None;
        }
        read.approvals = found.approvals;
        Some(found.title)
    }

    /// The class beside a standard and the one in a column of its own must be one.
    pub(super) fn agree_on_class(&mut self, read: &mut ReadRow) {
        let column = self.headings.of(Field::Class);
        let (Some(column), [approval]) = (column, read.approvals.as_slice()) else {
            return;
        };
        let (ours, theirs) = (read.text(Field::Class), approval.class.as_str());
        if ours.is_empty() || theirs.is_empty() || same_class(Some(ours), Some(theirs)) {
            return;
        }
        let message = format!(
            "This says class {}, but the standard's own cell says class {}. Make them the same, or leave one away.",
            shortened(ours),
            shortened(theirs)
        );
        self.wrong(read, column, "same-model", message);
    }
}

/// A text of a row in which something may be stated.
struct Worded {
    heading: String,
    text: String,
    stands: Stands,
}

/// Where a text of a row stands, which says what of it is read.
#[derive(Clone, Copy)]
enum Stands {
    /// As the name of the item, or as what describes it.
    Name,
    /// In a remark, of which only some things are read.
    Remark,
    /// Under a size.
    Size,
}

impl Worded {
    /// What it states of a kind of gear.
    fn states(&self, kind: Kind) -> Vec<(Field, String)> {
        let mut found = match self.stands {
            Stands::Name => stated::stated(kind, &self.text),
            Stands::Remark => {
                let mut found = rope_said::fields(stated::ropes(kind, &self.text));
                found.extend(rope_remark::stated(kind, &self.text));
                if kind.is_of_several_materials()
                    && let [material] = stated::materials(&self.text).collect::<Vec<_>>().as_slice()
                {
                    found.push((Field::Material, material.key().to_owned()));
                }
                found
            }
            Stands::Size => size::stated(kind, &self.text),
        };
        found.extend(load_words::stated(kind, &self.text));
        if let Some(readable) = marking_words::readable(&self.text) {
            let readable = if readable { "yes" } else { "no" };
            found.push((Field::MarkingsReadable, readable.to_owned()));
        }
        found
    }
}

/// What an examination of the list says of the markings.
fn markings_in_words(value: &str, read: &ReadRow) -> String {
    let on = match read.text(Field::LastExamined) {
        "" => String::new(),
        on => format!(" of {on}"),
    };
    let can = if value == "yes" { "can" } else { "cannot" };
    format!("the markings {can} be read, as a statement of the examination{on}")
}

/// What a column says in words, behind its heading.
fn worded(row: &TableRow, column: &Column) -> Option<(String, String)> {
    match row.cell(column.index)? {
        Cell::Text(text) => Some((column.heading.clone(), text.clone())),
        _ => None,
    }
}

/// What a column of sizes says, behind its heading: a bare number of a rope is its diameter where the heading names a unit
/// of one.
fn sized(row: &TableRow, column: &Column, kind: Kind) -> Option<(String, String)> {
    let diameter = Field::Attribute("diameter");
    let unit = column.unit_for(diameter).ok().flatten();
    let is_thin = |unit: &Unit| matches!(unit, Unit::Length(one) if *one != LengthUnit::Metre);
    let unit = unit.filter(|unit| is_thin(unit) && kind.attribute("diameter").is_some());
    let text = match row.cell(column.index)? {
        Cell::Text(text) => text.clone(),
        Cell::Number(number) => number.to_string(),
        _ => return None,
    };
    let is_bare = matches!(number::split(&text), Some((_, "")));
    let text = match unit.filter(|_| is_bare) {
        Some(unit) => format!("{text} {}", unit.sign()),
        None => text,
    };
    Some((column.heading.clone(), text))
}

/// The name of a field inside a sentence, without what its label explains.
fn in_sentence(field: Field) -> String {
    let label = field.label().to_lowercase();
    let label = label.split(" (").next().unwrap_or_default();
    label.to_owned()
}
