//! Reads rows: each cell as its column's field, what cannot be read noted with its place.

use std::collections::BTreeMap;

use super::answer::{Answers, LEAVE_OUT};
use super::cell::{self, Place, Reading as CellReading, Stop};
use super::column::Sense;
use super::fate::{Fate, Remark, RowError};
use super::field::Field;
use super::heading::{Column, ColumnUse, Headings, shortened};
use super::question::Question;
use super::table::{Cell, TableRow};
use super::unit_asked::Units;
use super::word;
use crate::domain::{ItemState, Kind, Verdict, fold};

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Given {
    /// As the register's own forms write it.
    pub(super) text: String,
    /// As it stands in the file.
    pub(super) shown: String,
}

/// A row that was read.
#[derive(Clone, Debug, Default)]
pub(super) struct ReadRow {
    pub(super) number: u32,
    pub(super) kind: Option<Kind>,
    /// The kind that the row itself says.
    pub(super) kind_said: Option<Kind>,
    pub(super) values: BTreeMap<Field, Given>,
    /// Lines for the item's note, out of columns that have no field of their own.
    pub(super) note: Vec<String>,
    pub(super) left_out: bool,
    pub(super) asked: bool,
    pub(super) wrong: usize,
    /// The fields whose cells could not be read.
    faulty: Vec<Field>,
    /// The fields whose words nobody knows yet.
    asked_words: Vec<Field>,
    /// The fields whose cells wait for a unit, or for how their numbers are written.
    waiting: Vec<Field>,
}

impl ReadRow {
    /// Whether the cell of a field could not be read, so that nothing more is to be said of it.
    pub(super) fn is_wrong(&self, field: Field) -> bool {
        self.faulty.contains(&field)
    }

    /// The fields of which the row says something that could not be read, or not yet, each with why.
    pub(super) fn unread(&self) -> impl Iterator<Item = (Field, Fate)> {
        let faulty = self.faulty.iter().map(|field| (*field, Fate::ModelWrong));
        faulty.chain(self.waiting.iter().map(|field| (*field, Fate::Asked)))
    }

    /// Whether the meaning of the word in a cell is asked already.
    pub(super) fn asked_for(&self, field: Field) -> bool {
        self.asked_words.contains(&field) || self.is_wrong(field)
    }

    /// Names a row that is left out, so that it can be told from others.
    fn name(&mut self, row: &TableRow, headings: &Headings) {
        for field in [Field::Mark, Field::Maker, Field::Model, Field::Store] {
            let column = headings.of(field);
            if let Some(cell) = column.and_then(|column| row.cell(column.index)) {
                let (text, shown) = (cell.shown(), cell.shown());
                self.values.insert(field, Given { text, shown });
            }
        }
    }

    fn wait(&mut self, field: Field) {
        self.asked = true;
        self.waiting.push(field);
    }

    pub(super) fn text(&self, field: Field) -> &str {
        self.values
            .get(&field)
            .map_or("", |given| given.text.as_str())
    }
}

/// All rows with what is wrong, asked and worth saying about them.
#[derive(Debug, Default)]
pub(super) struct ReadRows {
    pub(super) rows: Vec<ReadRow>,
    pub(super) errors: Vec<RowError>,
    pub(super) questions: Vec<Question>,
    pub(super) remarks: Remarks,
}

/// Remarks by their sentence, each counting its rows.
#[derive(Debug, Default)]
pub(super) struct Remarks(BTreeMap<String, Rows>);

/// The rows that a remark is about.
#[derive(Debug, Default)]
struct Rows {
    count: usize,
    first: u32,
    at: Vec<u32>,
}

impl Remarks {
    pub(super) fn add(&mut self, row: u32, sentence: String) {
        let seen = self.0.entry(sentence).or_default();
        if seen.count == 0 {
            seen.first = row;
        }
        seen.count += 1;
        seen.at.push(row);
    }

    /// A remark about many rows at once.
    pub(super) fn add_all(&mut self, count: usize, first: u32, sentence: String) {
        let at = Vec::new();
        self.0.insert(sentence, Rows { count, first, at });
    }

    pub(super) fn list(self) -> Vec<Remark> {
        let all = self.0.into_iter();
        all.map(|(sentence, rows)| Remark {
            sentence,
            rows: rows.count,
            first_row: rows.first,
            at: rows.at,
        })
        .collect()
    }
}

/// Reads rows one by one.
pub(super) struct Reading<'a> {
    headings: &'a Headings,
    senses: &'a [Sense],
    answers: &'a Answers,
    words: BTreeMap<(Field, String), (String, usize, u32)>,
    units: Units,
    read: ReadRows,
}

impl<'a> Reading<'a> {
    pub(super) fn new(headings: &'a Headings, senses: &'a [Sense], answers: &'a Answers) -> Self {
        Self {
            headings,
            senses,
            answers,
            words: BTreeMap::new(),
            units: Units::default(),
            read: ReadRows::default(),
        }
    }

    pub(super) fn finish(mut self) -> ReadRows {
        let columns = &self.headings.columns;
        self.read.questions.extend(self.units.questions(columns));
        self.units.remark(columns, &mut self.read.remarks);
        for ((field, _), (word, rows, first_row)) in self.words {
            self.read.questions.push(Question::Word {
                field,
                word,
                rows,
                first_row,
            });
        }
        self.read
    }

    pub(super) fn read(&mut self, row: &TableRow) {
        let mut read = ReadRow {
            number: row.number,
            ..ReadRow::default()
        };
        let headings = self.headings;
        if self.answers.left_out.contains(&row.number) {
            read.left_out = true;
        } else {
            self.read_kind(row, &mut read);
        }
        if read.left_out {
            read.name(row, headings);
        } else {
            for (column, sense) in headings.columns.iter().zip(self.senses) {
                if let Some(cell) = row.cell(column.index) {
                    self.read_cell(cell, column, *sense, &mut read);
                }
            }
        }
        self.read.rows.push(read);
    }

    fn read_kind(&mut self, row: &TableRow, read: &mut ReadRow) {
        let column = self.headings.of(Field::Kind);
        let cell = column.and_then(|column| row.cell(column.index));
        let Some(Cell::Text(text)) =
            cell.filter(|cell| !matches!(cell, Cell::Text(text) if word::says_unknown(text)))
        else {
            read.kind = self.answers.silent(Field::Kind).and_then(Kind::from_word);
            return;
        };
        match self.answers.word(Field::Kind, text) {
            Some(LEAVE_OUT) => read.left_out = true,
            Some(said) => read.kind = Kind::from_word(said),
            None => {
                if let Some(found) = word::kind(text) {
                    read.kind = Some(found.kind);
                    if !found.exact {
                        let sentence = format!(
                            "\"{}\" is read as the kind {}.",
                            shortened(text),
                            found.kind.word()
                        );
                        self.read.remarks.add(row.number, sentence);
                    }
                }
            }
        }
        read.kind_said = read.kind;
        if read.kind.is_none() && !read.left_out && !text.is_empty() {
            self.ask_word(Field::Kind, text, read);
        }
    }

    fn ask_word(&mut self, field: Field, word: &str, read: &mut ReadRow) {
        read.asked = true;
        read.asked_words.push(field);
        let seen = self.words.entry((field, fold(word)));
        let seen = seen.or_insert_with(|| (word.to_owned(), 0, read.number));
        seen.1 += 1;
    }

    fn read_cell(&mut self, cell: &Cell, column: &Column, sense: Sense, read: &mut ReadRow) {
        let field = match column.becomes {
            ColumnUse::Field(field) => field,
            ColumnUse::InNote => {
                self.keep_in_note(cell, column, read);
                return;
            }
            ColumnUse::LeftOut => return,
            ColumnUse::Unknown(_) => {
                read.asked = true;
                return;
            }
        };
        let place = Place {
            field,
            kind: read.kind,
            column,
            sense,
        };
        match cell::read(cell, place) {
            Ok(CellReading::Range(least, most)) => {
                self.units.read(cell, place, read.number);
                let ends = [(Field::RopeLeast, least), (Field::RopeMost, most)];
                for (field, end) in ends {
                    let end = end.map_or(CellReading::Nothing, CellReading::Value);
                    self.take(end, cell, Place { field, ..place }, read);
                }
            }
            Ok(reading) => {
                if let CellReading::Value(_) | CellReading::Weight(_) = reading {
                    self.units.read(cell, place, read.number);
                }
                self.take(reading, cell, place, read);
            }
            Err(Stop::Asked) => read.wait(field),
            Err(Stop::NoUnit) => {
                read.wait(field);
                self.units.wait(column, cell, read.number);
            }
            Err(Stop::Wrong(code, message)) => self.wrong(read, column, code, message),
        }
    }

    fn take(&mut self, reading: CellReading, cell: &Cell, place: Place<'_>, read: &mut ReadRow) {
        let column = place.column;
        let text = match reading {
            CellReading::Nothing | CellReading::Range(..) => return,
            CellReading::NotOfKind => {
                let kind = read.kind.map_or_else(|| "a thing".to_owned(), Kind::one);
                let sentence = format!(
                    "Nobody writes down \"{}\" of {kind} here; what \"{}\" says of it is kept in the item's note.",
                    place.field.label(),
                    shortened(&column.heading)
                );
                self.read.remarks.add(read.number, sentence);
                self.keep_in_note(cell, column, read);
                return;
            }
            CellReading::Weight(text) => {
                let sentence = format!(
                    "The masses under \"{}\" are read as the force of their weight, in kgf or lbf.",
                    shortened(&column.heading)
                );
                self.read.remarks.add(read.number, sentence);
                text
            }
            CellReading::Value(text) => text,
        };
        let text = match place.field {
            Field::State | Field::Verdict => match self.word(place.field, &text) {
                Some(key) => key,
                None => return self.ask_word(place.field, &text, read),
            },
            _ => text,
        };
        let shown = cell.shown();
        read.values
            .entry(place.field)
            .or_insert(Given { text, shown });
    }

    /// The key of a state or a verdict.
    fn word(&self, field: Field, text: &str) -> Option<String> {
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

    fn keep_in_note(&mut self, cell: &Cell, column: &Column, read: &mut ReadRow) {
        match cell {
            Cell::Formula => {
                let message =
                    "A formula is not read. Put its value in its place, or leave the column out.";
                self.wrong(read, column, "formula", message.to_owned());
            }
            Cell::Text(text) if word::says_unknown(text) => {}
            other => read
                .note
                .push(format!("{}: {}", column.heading, other.shown())),
        }
    }

    fn wrong(&mut self, read: &mut ReadRow, column: &Column, code: &str, message: String) {
        read.wrong += 1;
        read.faulty.extend(column.field());
        self.read
            .errors
            .push(RowError::at(read.number, column, code, message));
    }
}
