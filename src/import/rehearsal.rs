//! What would come of a file: each row's fate, what is asked, what is wrong.

use std::collections::{BTreeMap, BTreeSet};

use time::Date;

use super::answer::{Answers, Markings};
use super::failure::ImportFailure;
use super::fate::{Fate, Remark, RemarkKind, RowError, RowFate, Tally};
use super::field::Field;
use super::foreseen::Assume;
use super::foretold::{ByNotice, Foretold};
use super::heading::{Column, Headings};
use super::known::Known;
use super::named::NamedModels;
use super::plan::Plan;
use super::question::Question;
use super::restricting::Restricting;
use super::table::Table;
use super::{
    assemble, column, column_fails, ditto, figures_asked, forecast, foreseen, heading,
    heading_asked, row, said, several, units_line,
};
use crate::domain::{FieldErrors, Item, Kind, RefusalCode};

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
    /// What is asked, and must be answered before anything is taken in.
    pub questions: Vec<Question>,
    /// What is asked of models and may stay open: it only decides what jobs say.
    pub open: Vec<Question>,
    /// What was said once for many rows and does not hold, under the names of [`Answers::check`]: it applies to nothing.
    pub faulty: FieldErrors,
    /// What is wrong, by row.
    pub errors: Vec<RowError>,
    /// What a person should know.
    pub remarks: Vec<Remark>,
    /// How many rows have words that state an attribute which no column holds.
    pub described: usize,
    /// The kinds of gear of which rows do not say whether they may hold people, with how many rows.
    pub people: Vec<(Kind, usize)>,
    /// The items whose remarks restrict them.
    pub restricting: Vec<Restricting>,
    /// How many rows say otherwise of their model than rows before.
    pub differing: usize,
    /// The models that the rows name.
    pub named: NamedModels,
    /// Each row's fate.
    pub rows: Vec<RowFate>,
    /// The names of new stores.
    pub new_stores: Vec<String>,
    /// The titles of new models, each with how many items it gets.
    pub new_models: Vec<(String, usize)>,
    /// What every job will say of the items that would come in; none where the rules are not known.
    pub foretold: Option<Foretold>,
    /// What jobs will ask of the models beside, while something has to be answered first: all of it can be said in one go.
    pub foreseen: Option<Foretold>,
    /// The items that are there already and come under a safety notice as they are updated; told by whoever knows for which a
    /// notice is closed.
    pub held_there: Vec<ByNotice>,
    /// What is to be taken in; only there when nothing is asked, nothing is wrong and something is left.
    pub plan: Option<Plan>,
    /// The items that are given another date made than the register has: it is held against the earliest on record of each,
    /// as far as [`Known::first_recorded`] tells it.
    pub made_anew: Vec<Item>,
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

    /// The items that go to quarantine as soon as the list is taken in, since a safety notice is open for them.
    pub fn held(&self) -> impl Iterator<Item = &ByNotice> {
        let new = self.foretold.iter().flat_map(|told| &told.held);
        new.chain(&self.held_there)
    }

    /// How many rows come in, wait, are refused and are left out.
    pub fn tally(&self) -> Tally {
        tally(&self.rows)
    }

    /// Whether two columns are read as one field, or none holds the marks though it is known what each is.
    pub fn columns_clash(&self) -> bool {
        let unknown = self.headings.columns.iter().any(Column::is_unknown);
        let no_mark = self.headings.of(Field::Mark).is_none();
        !self.headings.doubled().is_empty() || (no_mark && !unknown)
    }

    /// Whether most cells of a column cannot be read as what it was said to be.
    pub fn misread_column(&self) -> bool {
        self.errors
            .iter()
            .any(|error| error.code == column_fails::CODE)
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

    /// What is wrong in a row.
    pub fn errors_of(&self, row: u32) -> impl Iterator<Item = &RowError> {
        self.errors.iter().filter(move |error| error.row == row)
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
    let mut rehearsal = rehearse_once(table, answers, known, today)?;
    if !rehearsal.questions.is_empty() {
        let assumed = foreseen::assumed(answers, &rehearsal.questions, Assume::First);
        let answered = rehearse_once(table, &assumed, known, today)?;
        let otherwise = foreseen::assumed(answers, &rehearsal.questions, Assume::Last);
        let otherwise = rehearse_once(table, &otherwise, known, today)?;
        // What is wrong whatever is answered is told at once.
        let more = foreseen::either_way(answered.errors, &otherwise.errors, &rehearsal.questions);
        let told = &rehearsal.errors;
        let is_new = |error: &RowError| !told.iter().any(|one| foreseen::same_place(one, error));
        let more: Vec<RowError> = more.into_iter().filter(is_new).collect();
        rehearsal.errors.extend(more);
        put_in_order(&mut rehearsal.errors);
        hold_back(&mut rehearsal.rows, &rehearsal.errors, false);
        rehearsal.foreseen = foreseen::of(answered.foretold, &rehearsal.questions);
    }
    let asked = rehearsal.questions.iter_mut().chain(&mut rehearsal.open);
    asked.for_each(|question| question.refuse(answers));
    Ok(rehearsal)
}

fn rehearse_once(
    table: &Table,
    answers: &Answers,
    known: &Known,
    today: Date,
) -> Result<Rehearsal, ImportFailure> {
    let (headings, rows) = heading::find(table, answers)?;
    let (rows, above) = ditto::filled(&headings, rows);
    let mut questions = heading_asked::unknown(&headings);
    let (senses, asked, mut errors) = column::look_through(&headings, &rows, answers);
    questions.extend(asked);
    let mut several = several::each(&headings, &rows, answers)?;
    several.remarks.also(units_line::told(&headings, above));
    questions.extend(several.questions);
    errors.extend(several.errors);
    let before = (several.remarks, &several.said);
    let mut reading = row::Reading::new(&headings, &senses, answers, before);
    for row in several.rows.iter() {
        reading.read(row, several.asked.contains(&row.number));
    }
    let mut assembled = assemble::assemble(&headings, reading.finish(), answers, known, today);
    questions.append(&mut assembled.questions);
    said::hold_silence(&mut questions, &headings);
    errors.append(&mut assembled.errors);
    together(&mut errors, &headings, &mut assembled.rows);
    let foretold = foretell(&mut assembled, answers, known, today);
    let faulty = faulty(answers, &headings, today, assembled.faulty);
    let ready = questions.is_empty() && errors.is_empty() && all_come_in(&assembled.rows);
    let mut open = figures_asked::ask(&headings, &rows, answers);
    open.append(&mut assembled.open);
    let plan = &assembled.plan;
    let new_stores = plan.stores.iter().map(|store| store.name.clone());
    let new_models = plan.models.iter();
    let new_models = new_models.map(|model| (model.title(), model.items));
    Ok(Rehearsal {
        read_as: table.read_as.clone(),
        sheets: table.sheets.clone(),
        sheet: table.sheet.clone(),
        questions,
        open,
        faulty,
        errors,
        remarks: assembled.remarks,
        described: assembled.described,
        people: assembled.people,
        restricting: assembled.restricting,
        differing: assembled.differing,
        named: assembled.named,
        rows: assembled.rows,
        new_stores: new_stores.collect(),
        new_models: new_models.collect(),
        held_there: Vec::new(),
        foretold,
        foreseen: None,
        plan: ready.then_some(assembled.plan),
        made_anew: assembled.made_anew,
        headings,
    })
}

/// Whether some row comes in or is updated, and none waits or is refused.
fn all_come_in(rows: &[RowFate]) -> bool {
    let fates = tally(rows);
    fates.come_in + fates.updated > 0 && fates.wait == 0 && fates.refused == 0
}

/// Puts errors in order, with those of whole columns among them, and holds the rows back that they point to.
fn together(errors: &mut Vec<RowError>, headings: &Headings, rows: &mut [RowFate]) {
    put_in_order(errors);
    column_fails::gather(errors, headings);
    let doubled = heading_asked::doubled(headings);
    hold_back(rows, errors, !doubled.is_empty());
    errors.extend(doubled);
    put_in_order(errors);
}

/// What was said once for many rows and cannot hold.
fn faulty(answers: &Answers, headings: &Headings, today: Date, found: FieldErrors) -> FieldErrors {
    let mut faulty = answers.check(today).err().unwrap_or_default();
    faulty.0.extend(found.0);
    if answers.markings == Some(Markings::List) && headings.of(Field::MarkingsReadable).is_none() {
        let label = Field::MarkingsReadable.label();
        let why = format!(
            "No column of the list is read as \"{label}\" yet: say of the one that tells it that it is this, or that nobody has looked yet."
        );
        faulty.add("markings", "choice", why);
    }
    faulty
}

/// By row and column; a row that stands for several items has its errors once.
fn put_in_order(errors: &mut Vec<RowError>) {
    errors.sort_by_cached_key(|error| {
        let letters = error.column.clone().unwrap_or_default();
        (error.row, letters.len(), letters)
    });
    errors.dedup();
}

/// Tells what every job will say of the rows that would come in.
fn foretell(
    assembled: &mut assemble::Assembled,
    answers: &Answers,
    known: &Known,
    today: Date,
) -> Option<Foretold> {
    let held = assembled.rows.iter();
    let held = held.filter(|row| !row.fate.comes_in() && row.fate != Fate::Updated);
    let held: BTreeSet<u32> = held.map(|row| row.row).collect();
    let plan = &mut assembled.plan;
    plan.items.retain(|item| !held.contains(&item.row));
    plan.updates.retain(|update| !held.contains(&update.row));
    let foretold = forecast::foretell(plan, &assembled.models, answers, known, today);
    // What jobs say of the items says it too.
    let mut reasons = foretold.iter().flat_map(|foretold| &foretold.reasons);
    if reasons.any(|reason| reason.code == RefusalCode::MadeUnknown.key()) {
        let unmade = |remark: &Remark| remark.kind == RemarkKind::Unmade;
        assembled.remarks.retain(|remark| !unmade(remark));
    }
    foretold
}

/// Counts items where they come in or are there, and rows of the file where none is made of them: a row that stands for
/// several items waits once.
fn tally(rows: &[RowFate]) -> Tally {
    let count = |of: fn(Fate) -> bool| rows.iter().filter(|row| of(row.fate)).count();
    let once = |of: fn(Fate) -> bool| {
        let rows = rows.iter().filter(|row| of(row.fate));
        rows.map(|row| row.row).collect::<BTreeSet<u32>>().len()
    };
    Tally {
        rows: once(|_| true),
        come_in: count(Fate::comes_in),
        wait: once(|fate| fate == Fate::Asked),
        refused: once(|fate| matches!(fate, Fate::Wrong(_) | Fate::ModelWrong)),
        left_out: once(|fate| fate == Fate::LeftOut),
        there: count(|fate| matches!(fate, Fate::Same | Fate::Differs)),
        updated: count(|fate| fate == Fate::Updated),
    }
}

/// No row comes in to which an error points, and none while it is not known what a column is.
fn hold_back(rows: &mut [RowFate], errors: &[RowError], columns_in_doubt: bool) {
    let mut wrong: BTreeMap<u32, usize> = BTreeMap::new();
    for error in errors {
        *wrong.entry(error.row).or_default() += 1;
    }
    for row in rows {
        row.fate = match (row.fate, wrong.get(&row.row)) {
            (Fate::LeftOut, _) => Fate::LeftOut,
            // The errors that are told are the ones that are counted.
            (_, Some(errors)) => Fate::Wrong(*errors),
            (fate @ (Fate::Wrong(_) | Fate::ModelWrong), None) => fate,
            (_, None) if columns_in_doubt => Fate::Asked,
            (fate, None) => fate,
        };
    }
}
