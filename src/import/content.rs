//! What the cells below a heading show of it, where the heading alone may mean two things.

use std::collections::BTreeSet;

use super::answer::Answers;
use super::cell_look::is_day;
use super::field::Field;
use super::heading::{Column, ColumnUse};
use super::table::{Cell, TableRow};
use super::unit::Unit;
use super::{becket, guess, kind_word, number, size, synonym, word};
use crate::domain::fold;
use crate::rigging::StrengthKind;

/// Looks again at the columns of which nobody said what they are.
///
/// A column called "Type" may hold kinds or names of models: where it is the only one that could hold
/// models and hardly any cell names a kind, it is asked about. A description holds kinds where nearly
/// every cell ends in one. And of two columns that are read as the same field, the second is asked about.
pub(super) fn look_again(columns: &mut [Column], rows: &[TableRow], answers: &Answers) {
    let has =
        |columns: &[Column], field: Field| columns.iter().any(|one| one.field() == Some(field));
    let is_open = |column: &Column| answers.heading(&column.heading).is_none();
    if !has(columns, Field::Model) {
        for column in columns.iter_mut() {
            let may_be_model = column.field() == Some(Field::Kind) && is_open(column);
            if may_be_model && kinds_in(column, rows).is_some_and(|share| share < 0.5) {
                column.becomes = ColumnUse::Unknown(vec![Field::Model, Field::Kind]);
            }
        }
    }
    if has(columns, Field::Model) && !has(columns, Field::Kind) {
        let described = columns.iter_mut().find(|column| {
            column.is_unknown()
                && synonym::is_description(&column.heading)
                && kinds_in(column, rows).is_some_and(|share| share >= 0.8)
        });
        if let Some(column) = described {
            column.becomes = ColumnUse::Field(Field::Kind);
        }
    }
    by_cells(columns, rows, is_open);
    let mut named: BTreeSet<Field> = columns.iter().filter_map(Column::field).collect();
    for column in columns.iter_mut().filter(|column| column.is_unknown()) {
        show(column, rows, &mut named);
    }
    for column in columns.iter_mut() {
        if let ColumnUse::Unknown(likely) = &mut column.becomes {
            likely.retain(|field| !named.contains(field));
        }
    }
    let mut taken: BTreeSet<Field> = columns
        .iter()
        .filter(|column| !is_open(column))
        .filter_map(Column::field)
        // Beside a range that somebody pointed to stands the one that its heading tells.
        .filter(|field| *field != Field::RopeRange)
        .collect();
    for column in columns.iter_mut().filter(|column| is_open(column)) {
        if let Some(field) = column.field()
            && !taken.insert(field)
        {
            column.becomes = if column.filled == 0 {
                ColumnUse::LeftOut
            } else {
                ColumnUse::Unknown(vec![field])
            };
        }
    }
    guess::at(columns, rows);
}

/// Looks again at single columns whose headings may mean two things, by what stands in them.
fn by_cells(columns: &mut [Column], rows: &[TableRow], is_open: impl Fn(&Column) -> bool) {
    for column in columns.iter_mut() {
        // "Check by": who made it, or by when it is to be made.
        if column.field() == Some(Field::Examiner)
            && is_open(column)
            && guess::are_mostly(column, rows, is_day)
        {
            column.becomes = ColumnUse::Unknown(vec![Field::NextDue, Field::LastExamined]);
        }
        if is_open(column)
            && let Some(becomes) = becket::otherwise(column, rows)
        {
            column.becomes = becomes;
        }
    }
}

/// What the cells of a column show where its heading is not known: forces below a word for strength are strengths, and
/// lengths below a word for a size are sizes. Where the heading has no such word, it is what is offered first.
fn show(column: &mut Column, rows: &[TableRow], named: &mut BTreeSet<Field>) {
    let strength = Field::Strength(StrengthKind::Breaking, None);
    let has = |is: fn(Unit) -> bool| measured(column, rows, is) >= MOSTLY;
    let found = if has(|unit| matches!(unit, Unit::Force(_) | Unit::Mass(_))) {
        Some((strength, STRENGTHS))
    } else if has(|unit| matches!(unit, Unit::Length(_))) {
        Some((size::FIELD, SIZES))
    } else {
        None
    };
    let Some((field, words)) = found.filter(|(field, _)| !named.contains(field)) else {
        return;
    };
    let heading = synonym::plain_words(&column.heading);
    if heading
        .split(' ')
        .any(|word| synonym::each(words).any(|one| one == word))
    {
        column.becomes = ColumnUse::Field(field);
        named.insert(field);
    } else if let ColumnUse::Unknown(likely) = &mut column.becomes {
        likely.retain(|one| *one != field);
        likely.insert(0, field);
    }
}

/// Words in a heading above strengths, and above sizes.
const STRENGTHS: &str = "strength, strengths, mbs, mbl, breaking, break, kn, bruchlast, festigkeit, rupture, résistance";
const SIZES: &str =
    "size, sizes, dimension, dimensions, größe, grösse, maße, abmessung, abmessungen, taille";

/// The share of its cells from which a column is known by them.
const MOSTLY: f64 = 0.6;

/// Which share of the cells below a heading name a number with such a unit; nothing where too few stand there.
fn measured(column: &Column, rows: &[TableRow], is: fn(Unit) -> bool) -> f64 {
    /// Fewer cells show nothing.
    const ENOUGH: u32 = 3;
    let cells = rows.iter().filter_map(|row| row.cell(column.index));
    let (mut all, mut have) = (0_u32, 0_u32);
    for cell in cells {
        let Cell::Text(text) = cell else { continue };
        if word::says_unknown(text) {
            continue;
        }
        all += 1;
        let mut words = number::with_words(text);
        have += u32::from(words.any(|(_, word)| Unit::measured(word).is_some_and(is)));
    }
    if all < ENOUGH {
        return 0.0;
    }
    f64::from(have) / f64::from(all)
}

/// Which share of the different texts below a heading name a kind of gear; none where too few stand there.
fn kinds_in(column: &Column, rows: &[TableRow]) -> Option<f64> {
    /// Fewer texts show nothing.
    const ENOUGH: usize = 2;
    let cells = rows.iter().filter_map(|row| row.cell(column.index));
    let texts = cells.filter_map(|cell| match cell {
        Cell::Text(text) if !word::says_unknown(text) => Some(text),
        _ => None,
    });
    let mut seen = BTreeSet::new();
    let different: Vec<&String> = texts.filter(|text| seen.insert(fold(text))).collect();
    let kinds = different
        .iter()
        .filter(|text| kind_word::kind(text).is_some());
    let counts = (
        u32::try_from(kinds.count()).ok()?,
        u32::try_from(different.len()).ok()?,
    );
    (different.len() >= ENOUGH).then(|| f64::from(counts.0) / f64::from(counts.1))
}
