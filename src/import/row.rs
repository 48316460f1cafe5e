//! Reads rows: each cell as its column's field, what cannot be read noted with its place.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::Answers;
use super::cell::{self, Place, Reading as CellReading, Stop};
use super::column::Sense;
use super::fate::{Fate, RowError};
use super::field::Field;
use super::heading::{Column, ColumnUse, Headings, shortened};
use super::loading_said;
use super::no_item::NoItems;
use super::note_kept::NotesKept;
use super::question::Question;
use super::remark::Remarks;
use super::rope_range::{self, Shared};
use super::rope_uses::RopesOf;
use super::several::SeveralSaid;
use super::table::{Cell, TableRow};
use super::unit_asked::Units;
use super::{becket, word};
use crate::domain::{ApprovalDraft, Kind, Made};

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
    /// Whether the kind is what was answered for rows that say none.
    pub(super) kind_answered: bool,
    pub(super) values: BTreeMap<Field, Given>,
    /// The fields whose values were read from words.
    pub(super) worded: BTreeSet<Field>,
    /// The standards of its model, each with its class.
    pub(super) approvals: Vec<ApprovalDraft>,
    /// Lines for the item's note, out of columns that have no field of their own.
    pub(super) note: Vec<String>,
    /// Why it is held until somebody has looked at it, where that was said.
    pub(super) held: Option<String>,
    pub(super) left_out: bool,
    pub(super) asked: bool,
    pub(super) wrong: usize,
    /// The fields whose cells could not be read.
    faulty: Vec<Field>,
    /// The fields whose words nobody knows yet.
    asked_words: Vec<Field>,
    /// The fields whose cells wait for a unit, or for how their numbers are written.
    waiting: Vec<Field>,
    /// The months and years of which the first day was taken.
    pub(super) first_days: Vec<(Field, Made)>,
    /// The ropes that it takes for one approval or one use alone.
    pub(super) ropes_of: Vec<RopesOf>,
    /// The approvals that its ropes are for, by their whole names.
    pub(super) ropes_name: Vec<ApprovalDraft>,
}

impl ReadRow {
    /// Whether the cell of a field could not be read, so that nothing more is to be said of it.
    pub(super) fn is_wrong(&self, field: Field) -> bool {
        self.faulty.contains(&field)
    }

    /// Whether the row says something of a field that could not be read, or not yet.
    pub(super) fn says(&self, field: Field) -> bool {
        self.unread().any(|(one, _)| one == field)
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

    pub(super) fn ask(&mut self, field: Field) {
        self.asked = true;
        self.asked_words.push(field);
    }

    pub(super) fn wait(&mut self, field: Field) {
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
    /// How many rows have words that state something no column holds.
    pub(super) described: usize,
}

/// Reads rows one by one.
pub(super) struct Reading<'a> {
    pub(super) headings: &'a Headings,
    senses: &'a [Sense],
    pub(super) answers: &'a Answers,
    pub(super) words: BTreeMap<(Field, String), (String, usize, u32)>,
    pub(super) units: Units,
    /// The one column that holds diameters of ropes and, row by row, what ropes devices take.
    shared: Option<Shared>,
    /// How many rows have words that state something no column holds.
    pub(super) described: usize,
    pub(super) less_than_day: Option<Question>,
    /// The rows that stand for several items, and whose serial is a lot.
    several: &'a SeveralSaid,
    no_items: NoItems,
    pub(super) notes: NotesKept,
    pub(super) read: ReadRows,
}

impl<'a> Reading<'a> {
    pub(super) fn new(
        headings: &'a Headings,
        senses: &'a [Sense],
        answers: &'a Answers,
        (remarks, several): (Remarks, &'a SeveralSaid),
    ) -> Self {
        Self {
            headings,
            senses,
            answers,
            words: BTreeMap::new(),
            units: Units::default(),
            shared: rope_range::shared(headings),
            described: 0,
            less_than_day: None,
            several,
            no_items: NoItems::default(),
            notes: NotesKept::default(),
            read: ReadRows {
                remarks,
                ..ReadRows::default()
            },
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
                doubts: None,
                refused: None,
            });
        }
        self.read.described = self.described;
        self.read.questions.extend(self.less_than_day);
        self.no_items.remark(&mut self.read.remarks);
        self.notes.remark(&mut self.read.remarks);
        self.read
    }

    pub(super) fn read(&mut self, row: &TableRow, is_asked: bool) {
        let mut read = ReadRow {
            number: row.number,
            asked: is_asked,
            ..ReadRow::default()
        };
        let headings = self.headings;
        if self.answers.left_out.contains(&row.number) || self.no_items.is_one(row, headings) {
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
            read.begin_when_made();
            self.several.tell(&mut read);
            read.tell_becket();
            self.agree_on_class(&mut read);
            self.name_approvals(&mut read);
            self.take_stated(row, &mut read);
        }
        self.read.rows.push(read);
    }

    fn read_cell(&mut self, cell: &Cell, column: &Column, sense: Sense, read: &mut ReadRow) {
        let field = match column.becomes {
            ColumnUse::Field(field) => field,
            ColumnUse::InNote => {
                if !matches!(cell, Cell::Text(text) if word::says_unknown(text)) {
                    self.notes.keep(column, &cell.shown(), read.number);
                }
                self.keep_in_note(cell, column, read);
                return;
            }
            ColumnUse::LeftOut => return,
            ColumnUse::Unknown(_) => {
                read.asked = true;
                return;
            }
        };
        let field = self.of_becket(cell, (column, field), read);
        if self.read_strengths(cell, (column, field), read) {
            return;
        }
        match loading_said::read(cell, field) {
            Ok(None) => self.read_field(cell, (column, field), sense, read),
            Ok(Some((bare, of))) => {
                let sentence = format!(
                    "Read from the bracket behind \"{}\" under \"{}\": it is the {}.",
                    shortened(&bare.shown()),
                    shortened(&column.heading),
                    of.label()
                );
                self.read.remarks.add(read.number, sentence);
                self.read_field(&bare, (column, of), sense, read);
            }
            Err((code, message)) => self.wrong(read, column, code, message),
        }
    }

    /// Reads a cell as a field.
    fn read_field(
        &mut self,
        cell: &Cell,
        (column, field): (&Column, Field),
        sense: Sense,
        read: &mut ReadRow,
    ) {
        let shared = self.shared.filter(|shared| shared.field == field);
        let place = Place {
            field: shared.map_or(field, |shared| shared.field_for(read.kind, cell)),
            kind: read.kind,
            column,
            sense,
        };
        if place.field == Field::RopeRange && shared.is_some() && !rope_range::is_range(cell) {
            let sentence = format!(
                "A diameter alone under \"{}\" is taken as the only rope that a device takes.",
                shortened(&column.heading)
            );
            self.read.remarks.add(read.number, sentence);
        }
        if let (Field::RopeRange, Cell::Text(text)) = (place.field, cell)
            && self.reads_ropes(text, column, read)
        {
            return;
        }
        match cell::read(cell, place) {
            Ok(CellReading::Range(least, most)) => {
                self.units.read(cell, place, read.number);
                let said = (least, most);
                if self.second_range(&said, column, read) {
                    return;
                }
                let (least, most) = said;
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
            Err(Stop::Asked) => read.wait(place.field),
            Err(Stop::LessThanDay(made)) => self.less_than_day(cell, column, made, read),
            Err(Stop::Unsure) => self.unsure(cell, column, read),
            Err(Stop::NoUnit) => {
                read.wait(place.field);
                self.units.wait(column, cell, read.number);
            }
            Err(Stop::Wrong(code, message)) => {
                let message = becket::advised(place.field, cell, message);
                self.wrong(read, column, code, message);
            }
        }
    }

    fn take(&mut self, reading: CellReading, cell: &Cell, place: Place<'_>, read: &mut ReadRow) {
        let column = place.column;
        let text = match reading {
            CellReading::Nothing | CellReading::Range(..) => return,
            CellReading::NotOfKind => return self.not_of_kind(cell, place, read),
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
            Field::Standard => match self.standards(&text, place, read) {
                Some(title) => title,
                None => return,
            },
            _ => text,
        };
        let shown = cell.shown();
        if place.field == Field::Note {
            self.notes.keep(column, &shown, read.number);
        }
        read.values
            .entry(place.field)
            .or_insert(Given { text, shown });
    }

    pub(super) fn wrong(
        &mut self,
        read: &mut ReadRow,
        column: &Column,
        code: &str,
        message: String,
    ) {
        read.wrong += 1;
        read.faulty.extend(column.field());
        self.read
            .errors
            .push(RowError::at(read.number, column, code, message));
    }
}
