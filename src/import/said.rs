//! What was answered for all rows where the list is silent, and for how many of them it stands.

use std::collections::BTreeSet;

use super::answer::{MakerIs, ReadIn};
use super::assemble::{Assembly, NEEDED};
use super::choice;
use super::field::Field;
use super::heading::{ColumnUse, Headings, shortened};
use super::maker_word::guess;
use super::question::{Earlier, Question, counted, lower_first};
use super::row::ReadRow;
use crate::domain::{ItemState, Kind};

/// The rows of the file that say nothing of a field: a row that stands for several items is one.
pub(super) type Silent = BTreeSet<u32>;

impl Assembly<'_> {
    /// What was answered for rows that say nothing of a field; where nothing was, it is asked.
    pub(super) fn answer(
        &mut self,
        field: Field,
        rows: impl IntoIterator<Item = u32>,
    ) -> Option<String> {
        let said = self.answers.silent(field);
        let Some(said) = said.filter(|said| choice::can_be_said(field, said)) else {
            self.ask(field, rows);
            return None;
        };
        self.said.entry(field).or_default().extend(rows);
        Some(said.to_owned())
    }

    pub(super) fn ask(&mut self, field: Field, rows: impl IntoIterator<Item = u32>) {
        self.silent.entry(field).or_default().extend(rows);
    }

    /// A row of which it is not known yet what model it is says nothing of that either: it is asked with the others, and
    /// not again once the model is known.
    pub(super) fn silent_of_model(&mut self, row: &ReadRow) {
        let maker = row.text(Field::Maker);
        if self.known.model(maker, row.text(Field::Model)).is_some() {
            return;
        }
        let rated = |field: Field| matches!(field, Field::Strength(..));
        let is_rated =
            row.values.keys().any(|field| rated(*field)) || row.unread().any(|(one, _)| rated(one));
        for (field, needed) in [
            (Field::LifeSupport, row.kind.is_none_or(Kind::is_loaded)),
            (Field::StrengthSource, is_rated),
        ] {
            if needed && row.text(field).is_empty() && !row.says(field) {
                if let Some(kind) = row.kind.filter(|_| field == Field::LifeSupport) {
                    self.people.entry(kind).or_default().insert(row.number);
                    if self.answers.people(kind).is_some() {
                        continue;
                    }
                }
                self.answer(field, [row.number]);
            }
        }
    }

    /// The kinds of which rows do not say whether they may hold people, with how many.
    pub(super) fn kinds_of_people(&self) -> Vec<(Kind, usize)> {
        let people = self.people.iter();
        people.map(|(kind, rows)| (*kind, rows.len())).collect()
    }

    /// What is asked because the list is silent: what nobody has answered, and what was answered for fewer rows than it
    /// would stand for now.
    pub(super) fn silence(&self) -> Vec<Question> {
        let silent = self.silent.iter();
        let kinds = |field: Field| {
            let open =
                |kind: &Kind| field == Field::LifeSupport && self.answers.people(*kind).is_none();
            let people = self.people.iter().filter(|(kind, _)| open(kind));
            people.map(|(kind, rows)| (*kind, rows.len())).collect()
        };
        let question = |field: &Field, rows: &Silent, earlier| Question::Silent {
            field: *field,
            rows: rows.len(),
            first_row: rows.first().copied().unwrap_or_default(),
            kinds: kinds(*field),
            names: match field {
                // Where none of the names can begin with its maker, one line asks for it.
                Field::Maker
                    if self.answers.maker_is == Some(MakerIs::Each)
                        || self.names.iter().any(|name| !guess(name).is_empty()) =>
                {
                    self.names.iter().cloned().collect()
                }
                _ => Vec::new(),
            },
            earlier,
            refused: None,
        };
        let asked = silent.map(|(field, rows)| question(field, rows, None));
        let again = self.said.iter().filter_map(|(field, rows)| {
            let earlier = Earlier {
                value: self.answers.silent(*field)?.to_owned(),
                rows: self.answers.silent_rows(*field),
            };
            (rows.len() > earlier.rows).then(|| question(field, rows, Some(earlier)))
        });
        asked.chain(again).collect()
    }

    /// Says of each answer for how many rows it stands.
    pub(super) fn remark_said(&mut self) {
        for (field, rows) in &self.said {
            let said = in_words(*field, self.answers.silent(*field).unwrap_or_default());
            let sentence = format!(
                "The list does not say \"{}\": your answer, \"{said}\", is taken for every such row.",
                field.label()
            );
            let first = rows.first().copied().unwrap_or_default();
            self.remarks.add_all(rows.len(), first, sentence);
        }
    }
}

/// What a column may say of which nobody knows yet what it is, nobody is asked for all rows: what every item needs while
/// there is any such column, the rest where one is likely to hold it.
pub(super) fn hold_silence(questions: &mut Vec<Question>, headings: &Headings) {
    let unknown = headings.columns.iter().filter_map(|column| {
        let ColumnUse::Unknown(likely) = &column.becomes else {
            return None;
        };
        Some(likely)
    });
    let unknown: Vec<&Vec<Field>> = unknown.collect();
    let may_say = |field: Field| {
        let is_likely = unknown.iter().any(|likely| likely.contains(&field));
        // Where a column is known to hold it, the others hold something else.
        let is_open = headings.of(field).is_none();
        is_likely || (NEEDED.contains(&field) && is_open && !unknown.is_empty())
    };
    questions.retain(|question| match question {
        Question::Silent { field, .. } => !may_say(*field),
        // A name under "By" need not be told from its heading; nothing is taken in while the columns are asked about.
        Question::Examiner { name, .. } if name.is_empty() => unknown.is_empty(),
        _ => true,
    });
}

/// An answer as a person reads it.
fn in_words(field: Field, said: &str) -> &str {
    match field {
        Field::StrengthSource => ReadIn::from_key(said).map_or(said, |read| read.words()),
        Field::State => ItemState::from_key(said).map_or(said, |state| state.word()),
        _ => said,
    }
}

/// What is asked of rows that say nothing of a field; for which kinds of gear, where that matters.
pub(super) fn sentence(
    field: Field,
    (rows, first_row, kinds): (usize, u32, &[(Kind, usize)]),
    earlier: Option<&Earlier>,
) -> String {
    let plain = asked_of(field, (rows, first_row), earlier);
    if kinds.len() < 2 {
        return plain;
    }
    let kinds: Vec<String> = kinds
        .iter()
        .map(|(kind, rows)| format!("{} ({rows})", kind.word()))
        .collect();
    format!(
        "{plain} One answer stands for all of it: {}. Where a kind differs, say so for that kind; where items of one kind differ, say it in the list, in a column of its own.",
        kinds.join(", ")
    )
}

fn asked_of(field: Field, (rows, first_row): (usize, u32), earlier: Option<&Earlier>) -> String {
    let about = match field {
        Field::LifeSupport => "whether the gear may hold people".to_owned(),
        Field::StrengthSource => "where the strengths were read".to_owned(),
        Field::Examiner => "who examined it".to_owned(),
        Field::State => "the state that the item is in, though others do".to_owned(),
        other => format!("the {}", lower_first(&other.label())),
    };
    let say = if rows == 1 { "says" } else { "say" };
    if let Some(Earlier {
        value,
        rows: before,
    }) = earlier
    {
        let said = match before {
            0 => format!(
                "For other items you said \"{}\"",
                shortened(in_words(field, value))
            ),
            _ => format!(
                "You said \"{}\" for {}",
                shortened(in_words(field, value)),
                counted(*before, "row")
            ),
        };
        return format!(
            "{said}. Now {} {say} nothing about {about} (first: row {first_row}). Does it hold for all of them?",
            counted(rows, "row")
        );
    }
    format!(
        "What holds for the {} that {say} nothing about {about} (first: row {first_row})?",
        counted(rows, "row")
    )
}
