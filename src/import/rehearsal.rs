//! What would come of a file: each row's fate, what is asked, what is wrong.

use std::collections::{BTreeMap, BTreeSet};

use time::Date;

use super::answer::Answers;
use super::failure::ImportFailure;
use super::field::Field;
use super::foretold::Foretold;
use super::heading::{Column, ColumnUse, Headings, shortened};
use super::known::Known;
use super::plan::Plan;
use super::question::{Question, counted};
use super::table::Table;
use super::{assemble, column, forecast, heading, row};

/// Something wrong in the file, with its place as a spreadsheet shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowError {
    /// The row.
    pub row: u32,
    /// The column's letters, where one cell is to blame.
    pub column: Option<String>,
    /// The column's heading.
    pub heading: Option<String>,
    /// A stable word for programs.
    pub code: String,
    /// What is wrong and what to do.
    pub message: String,
}

impl RowError {
    pub(super) fn at(row: u32, column: &Column, code: &str, message: impl Into<String>) -> Self {
        Self {
            row,
            column: Some(column.letters()),
            heading: Some(shortened(&column.heading)),
            code: code.to_owned(),
            message: message.into(),
        }
    }

    pub(super) fn in_row(row: u32, code: &str, message: impl Into<String>) -> Self {
        Self {
            row,
            column: None,
            heading: None,
            code: code.to_owned(),
            message: message.into(),
        }
    }

    /// Row, column and heading in words.
    pub fn place(&self) -> String {
        match (&self.column, &self.heading) {
            (Some(column), Some(heading)) => {
                format!("row {}, column {column} ({heading})", self.row)
            }
            _ => format!("row {}", self.row),
        }
    }
}

/// Something that a person should know before they say yes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// The sentence.
    pub sentence: String,
    /// How many rows it is about.
    pub rows: usize,
    /// The first of them.
    pub first_row: u32,
}

/// What becomes of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// A new item of a new model.
    NewModel,
    /// A new item of a model that the register has.
    KnownModel,
    /// Left out, as somebody said.
    LeftOut,
    /// Wrong in so many places.
    Wrong(usize),
    /// What the list says of its model is wrong, in this row or in another.
    ModelWrong,
    /// It waits for the answer to a question.
    Asked,
}

impl Fate {
    /// Whether the row becomes an item, or would if nothing stood in the way of the others.
    pub fn comes_in(self) -> bool {
        matches!(self, Self::NewModel | Self::KnownModel)
    }
}

/// How many rows come in (or would, if nothing stood in the way of the others), wait, and do not come in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Rows that become items.
    pub come_in: usize,
    /// Rows that wait for an answer.
    pub wait: usize,
    /// Rows that are refused for an error.
    pub refused: usize,
    /// Rows that are left out, as somebody said.
    pub left_out: usize,
}

/// A row and what becomes of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowFate {
    /// The row.
    pub row: u32,
    /// The item's mark.
    pub mark: String,
    /// Kind, maker and model in words.
    pub title: String,
    /// Where it will live.
    pub store: String,
    /// What becomes of it.
    pub fate: Fate,
}

/// What would come of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Rehearsal {
    /// How the file was read, in words.
    pub read_as: String,
    /// The sheets of the workbook.
    pub sheets: Vec<String>,
    /// The sheet that was read.
    pub sheet: Option<String>,
    /// The headings and what becomes of each column.
    pub headings: Headings,
    /// What is asked.
    pub questions: Vec<Question>,
    /// What is wrong, by row.
    pub errors: Vec<RowError>,
    /// What a person should know.
    pub remarks: Vec<Remark>,
    /// Each row's fate.
    pub rows: Vec<RowFate>,
    /// The names of new stores.
    pub new_stores: Vec<String>,
    /// The titles of new models, each with how many items it gets.
    pub new_models: Vec<(String, usize)>,
    /// What every job will say of the items that would come in; none where the rules are not known.
    pub foretold: Option<Foretold>,
    /// What is to be taken in; only there when nothing is asked, nothing is wrong and something is left.
    pub plan: Option<Plan>,
}

impl Rehearsal {
    /// Whether the file can be taken in.
    pub fn is_ready(&self) -> bool {
        self.plan.is_some()
    }

    /// How many items would be added.
    pub fn items(&self) -> usize {
        self.tally().come_in
    }

    /// How many rows come in, wait, are refused and are left out.
    pub fn tally(&self) -> Tally {
        tally(&self.rows)
    }

    /// Whether it is not clear what some column is, or which one holds the marks.
    pub fn columns_in_doubt(&self) -> bool {
        let unknown = |column: &Column| matches!(column.becomes, ColumnUse::Unknown(_));
        self.headings.columns.iter().any(unknown)
            || !self.headings.doubled().is_empty()
            || self.headings.of(Field::Mark).is_none()
    }

    /// The headings of the columns whose numbers wait for a unit.
    pub fn without_unit(&self) -> Vec<&str> {
        let questions = self.questions.iter();
        let headings = questions.filter_map(|question| match question {
            Question::Unit { heading, .. } => Some(heading.as_str()),
            _ => None,
        });
        headings.collect()
    }

    /// The answer in one sentence.
    pub fn sentence(&self) -> String {
        let left_out = match self.tally().left_out {
            0 => String::new(),
            count => format!("; {} left out", counted(count, "row")),
        };
        if self.is_ready() {
            return format!(
                "{} can be taken in, with {} and {}{left_out}.",
                counted(self.items(), "item"),
                counted(self.new_models.len(), "new model"),
                counted(self.new_stores.len(), "new store"),
            );
        }
        let mut waits = Vec::new();
        if !self.questions.is_empty() {
            waits.push(format!(
                "{} to answer",
                counted(self.questions.len(), "question")
            ));
        }
        if !self.errors.is_empty() {
            waits.push(format!(
                "{} to put right",
                counted(self.errors.len(), "error")
            ));
        }
        if waits.is_empty() {
            return "Nothing is left to take in: every row is left out.".to_owned();
        }
        format!(
            "Nothing can be taken in yet: {}, in {}.",
            waits.join(" and "),
            counted(self.rows.len(), "row")
        )
    }
}

/// Rehearses a table: what would come of it, against what the register holds and what was said.
///
/// # Errors
/// What is wrong with the headings as a whole; whatever is wrong with single rows is in the rehearsal.
pub fn rehearse(
    table: &Table,
    answers: &Answers,
    known: &Known,
    today: Date,
) -> Result<Rehearsal, ImportFailure> {
    let (headings, rows) = heading::find(table, answers)?;
    let mut questions = unknown_headings(&headings);
    let (senses, asked, mut errors) =
        column::look_through(&headings, rows, answers, table.semicolons);
    questions.extend(asked);
    let doubled = doubled(&headings);
    let mut reading = row::Reading::new(&headings, &senses, answers);
    for row in rows {
        reading.read(row);
    }
    let mut assembled = assemble::assemble(&headings, reading.finish(), answers, known, today);
    questions.append(&mut assembled.questions);
    errors.append(&mut assembled.errors);
    hold_back(&mut assembled.rows, &errors, !doubled.is_empty());
    errors.extend(doubled);
    errors.sort_by_cached_key(|error| {
        let letters = error.column.clone().unwrap_or_default();
        (error.row, letters.len(), letters)
    });
    let foretold = foretell(&mut assembled, answers, known, today);
    let rows = tally(&assembled.rows);
    let all_come_in = rows.come_in > 0 && rows.wait == 0 && rows.refused == 0;
    let ready = questions.is_empty() && errors.is_empty() && all_come_in;
    let new_models = assembled.plan.models.iter();
    let new_models = new_models
        .map(|model| {
            (
                format!("{} {}", model.draft.maker, model.draft.name),
                model.items,
            )
        })
        .collect();
    let new_stores = assembled.plan.stores.iter().map(|store| store.name.clone());
    Ok(Rehearsal {
        read_as: table.read_as.clone(),
        sheets: table.sheets.clone(),
        sheet: table.sheet.clone(),
        questions,
        errors,
        remarks: assembled.remarks,
        rows: assembled.rows,
        new_stores: new_stores.collect(),
        new_models,
        foretold,
        plan: ready.then_some(assembled.plan),
        headings,
    })
}

/// Tells what every job will say of the rows that would come in.
fn foretell(
    assembled: &mut assemble::Assembled,
    answers: &Answers,
    known: &Known,
    today: Date,
) -> Option<Foretold> {
    let come_in = assembled.rows.iter().filter(|row| row.fate.comes_in());
    let come_in: BTreeSet<u32> = come_in.map(|row| row.row).collect();
    let plan = &mut assembled.plan;
    plan.items.retain(|item| come_in.contains(&item.row));
    forecast::foretell(plan, &assembled.models, answers, known, today)
}

fn tally(rows: &[RowFate]) -> Tally {
    let mut tally = Tally::default();
    for row in rows {
        *match row.fate {
            Fate::NewModel | Fate::KnownModel => &mut tally.come_in,
            Fate::Asked => &mut tally.wait,
            Fate::Wrong(_) | Fate::ModelWrong => &mut tally.refused,
            Fate::LeftOut => &mut tally.left_out,
        } += 1;
    }
    tally
}

/// No row comes in to which an error points, and none while it is not known what a column is.
fn hold_back(rows: &mut [RowFate], errors: &[RowError], columns_in_doubt: bool) {
    let mut wrong: BTreeMap<u32, usize> = BTreeMap::new();
    for error in errors {
        *wrong.entry(error.row).or_default() += 1;
    }
    for row in rows {
        if matches!(row.fate, Fate::NewModel | Fate::KnownModel | Fate::Asked) {
            row.fate = match wrong.get(&row.row) {
                Some(errors) => Fate::Wrong(*errors),
                None if columns_in_doubt => Fate::Asked,
                None => row.fate,
            };
        }
    }
}

fn unknown_headings(headings: &Headings) -> Vec<Question> {
    let columns = headings.columns.iter();
    columns
        .filter_map(|column| match &column.becomes {
            ColumnUse::Unknown(suggestions) => Some(Question::Heading {
                heading: column.heading.clone(),
                column: column.letters(),
                filled: column.filled,
                example: column.example.clone(),
                suggestions: suggestions.clone(),
            }),
            _ => None,
        })
        .collect()
}

fn doubled(headings: &Headings) -> Vec<RowError> {
    let mut errors = Vec::new();
    for (field, columns) in headings.doubled() {
        let names: Vec<String> = columns
            .iter()
            .map(|column| format!("\"{}\"", shortened(&column.heading)))
            .collect();
        errors.push(RowError::at(
            headings.row,
            columns[columns.len() - 1],
            "choice",
            format!(
                "{} are all read as \"{}\". Say for all but one of them what else it is, or leave it out.",
                names.join(" and "),
                field.label()
            ),
        ));
    }
    errors
}
