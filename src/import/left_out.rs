//! Rows that are left out: chosen by their numbers, or because something is wrong in them.

use std::collections::BTreeSet;

use time::Date;

use super::answer::Answers;
use super::failure::ImportFailure;
use super::fate::Fate;
use super::known::Known;
use super::rehearsal::{Rehearsal, rehearse};
use super::table::{Cell, Table};
use super::{column, heading};

/// The heading of the column that says why a row was left out; where a file has it, it is passed over.
pub(super) const WHY_LEFT_OUT: &str = "Why it was left out";

/// The most rounds in which rows are left out: one that goes may bring out what was wrong behind it.
const MOST_ROUNDS: usize = 10;

/// Rows that were left out, as they stand in the file, each with why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// The headings, and one more for why.
    pub headings: Vec<String>,
    /// The cells of each row below them.
    pub rows: Vec<Vec<String>>,
    /// How the whole list showed its days to be written, which these rows alone may not show.
    pub shown: Answers,
}

/// The rows that were chosen to be left out, each with what is wrong in it.
///
/// # Errors
/// What is wrong with the headings as a whole.
pub fn left_out(
    table: &Table,
    answers: &Answers,
    known: &Known,
    today: Date,
) -> Result<LeftOut, ImportFailure> {
    let with_all = Answers {
        left_out: BTreeSet::new(),
        ..answers.clone()
    };
    let rehearsal = rehearse(table, &with_all, known, today)?;
    let (headings, rows) = heading::find(table, answers)?;
    let dates = column::shown_order(&headings, rows, &with_all);
    let columns = &headings.columns;
    // A list that was left out once is left out again with what is wrong now.
    let kept = columns
        .iter()
        .filter(|column| column.heading != WHY_LEFT_OUT);
    let kept: Vec<_> = kept.collect();
    let chosen = rows
        .iter()
        .filter(|row| answers.left_out.contains(&row.number));
    let rows = chosen.map(|row| {
        let cells = kept.iter().map(|column| row.cell(column.index));
        let mut cells: Vec<String> = cells
            .map(|cell| cell.map(Cell::shown).unwrap_or_default())
            .collect();
        let wrong = rehearsal
            .errors_of(row.number)
            .map(|error| match &error.heading {
                Some(heading) => format!("{heading}: {}", error.message),
                None => error.message.clone(),
            });
        let wrong: Vec<String> = wrong.collect();
        cells.push(if wrong.is_empty() {
            "It was chosen.".to_owned()
        } else {
            wrong.join(" ")
        });
        cells
    });
    let rows = rows.collect();
    let mut headings: Vec<String> = kept.iter().map(|column| column.heading.clone()).collect();
    headings.push(WHY_LEFT_OUT.to_owned());
    let shown = Answers {
        dates,
        ..Answers::default()
    };
    Ok(LeftOut {
        headings,
        rows,
        shown,
    })
}

impl Rehearsal {
    /// The rows that cannot come in as they are: those that are wrong, or else those whose model is.
    pub fn wrong_rows(&self) -> BTreeSet<u32> {
        let rows = |wrong: fn(&Fate) -> bool| {
            let rows = self.rows.iter().filter(move |row| wrong(&row.fate));
            rows.map(|row| row.row).collect::<BTreeSet<u32>>()
        };
        let wrong = rows(|fate| matches!(fate, Fate::Wrong(_)));
        if wrong.is_empty() {
            rows(|fate| matches!(fate, Fate::ModelWrong))
        } else {
            wrong
        }
    }

    /// Whether these rows are wrong for what the list says of their models, and not each by itself.
    pub fn are_of_wrong_models(&self) -> bool {
        let mut rows = self.rows.iter();
        !rows.any(|row| matches!(row.fate, Fate::Wrong(_)))
    }
}

/// How often rows are left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounds {
    /// Once: those that are told as wrong, and no others.
    One,
    /// As often as something is wrong: what goes may bring out what was wrong behind it.
    All,
}

/// Leaves out every row in which something is wrong, and gives how many more they are.
///
/// # Errors
/// What is wrong with the headings as a whole.
pub fn leave_out_wrong(
    table: &Table,
    answers: &mut Answers,
    known: &Known,
    (today, rounds): (Date, Rounds),
) -> Result<usize, ImportFailure> {
    let most = match rounds {
        Rounds::One => 1,
        Rounds::All => MOST_ROUNDS,
    };
    let before = answers.left_out.len();
    for _ in 0..most {
        let wrong = rehearse(table, answers, known, today)?.wrong_rows();
        if wrong.is_empty() {
            break;
        }
        answers.left_out.extend(wrong);
    }
    Ok(answers.left_out.len() - before)
}
