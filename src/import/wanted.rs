//! What must be looked up in the register before a file can be rehearsed against it.

use std::collections::BTreeSet;

use super::answer::{Answers, MakerIs};
use super::failure::ImportFailure;
use super::field::Field;
use super::table::{Cell, Table};
use super::{heading, maker_word, several};
use crate::domain::fold;

/// What the file names that the register may know.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wanted {
    /// The marks.
    pub marks: Vec<String>,
    /// The makers, each once.
    pub makers: Vec<String>,
}

/// Looks through a table for what the register may know.
///
/// # Errors
/// What is wrong with the headings as a whole.
pub fn wanted(table: &Table, answers: &Answers) -> Result<Wanted, ImportFailure> {
    let (headings, rows) = heading::find(table, answers)?;
    let column = |field| headings.of(field).map(|column| column.index);
    let (mark, maker) = (column(Field::Mark), column(Field::Maker));
    let name = column(Field::Model);
    let several = several::each(&headings, rows, answers)?;
    let mut wanted = Wanted::default();
    let mut makers = BTreeSet::new();
    for row in several.rows.iter() {
        let text = |column: Option<usize>| column.and_then(|at| row.cell(at)).map(Cell::shown);
        wanted.marks.extend(text(mark));
        let of_name = || match answers.maker_is? {
            MakerIs::FirstWord => Some(maker_word::parted(&text(name)?)?.0.to_owned()),
            MakerIs::Each => Some(answers.maker_of(text(name)?.trim())?.to_owned()),
            MakerIs::One => None,
        };
        let said = || answers.silent(Field::Maker).map(str::to_owned);
        let maker = text(maker).or_else(of_name).or_else(said);
        if let Some(maker) = maker
            && makers.insert(fold(&maker))
        {
            wanted.makers.push(maker);
        }
    }
    Ok(wanted)
}
