//! What a whole column shows about how its days and numbers are written.

use super::answer::{Answers, DateOrder, DecimalMark};
use super::fate::RowError;
use super::heading::{Column, Headings, shortened};
use super::question::Question;
use super::table::{Cell, TableRow};
use super::{day, number, rope_range, unit};

/// How the cells of one column are to be read.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sense {
    /// The order of day and month that was said, by the heading or by a person.
    pub(super) said_dates: Option<DateOrder>,
    /// The order that a day in the column proves.
    pub(super) shown_dates: Option<DateOrder>,
    /// The decimal mark that was said.
    said_decimal: Option<DecimalMark>,
    /// The decimal mark that every number shows that can be read in one way only.
    shown_decimal: Option<DecimalMark>,
    /// The field is kept in per cent, but the numbers without a sign are all below 1: they may be shares.
    pub(super) share_in_doubt: bool,
}

impl Sense {
    /// The value of a number of the column.
    pub(super) fn value(self, written: number::Written) -> Result<f64, number::Doubt> {
        written.value(self.said_decimal, self.shown_decimal)
    }
}

/// The first cell of a column that can be read in two ways, and how many there are.
#[derive(Clone, Debug)]
struct InDoubt {
    heading: String,
    row: u32,
    example: String,
}

/// Looks through all columns of days and numbers.
///
/// Gives how each column of `headings` is read, in their order, asks what cannot be found out, and
/// notes where one column is written in two orders.
pub(super) fn look_through(
    headings: &Headings,
    rows: &[TableRow],
    answers: &Answers,
) -> (Vec<Sense>, Vec<Question>, Vec<RowError>) {
    let kept: Vec<TableRow>;
    let rows = if answers.left_out.is_empty() {
        rows
    } else {
        // What is left out asks nothing.
        let taken = rows
            .iter()
            .filter(|row| !answers.left_out.contains(&row.number));
        kept = taken.cloned().collect();
        &kept
    };
    let mut errors = Vec::new();
    let (mut days, mut numbers) = (Vec::new(), Vec::new());
    let mut senses = Vec::new();
    for column in &headings.columns {
        let mut sense = Sense {
            said_dates: column.dates.or(answers.dates),
            said_decimal: answers.decimal,
            ..Sense::default()
        };
        let field = column.field();
        if field.is_some_and(super::Field::is_day) {
            days.extend(look_at_days(column, rows, &mut sense, &mut errors));
        } else if field.is_some_and(super::Field::is_number) {
            numbers.extend(look_at_numbers(column, rows, &mut sense));
            sense.share_in_doubt = field.is_some_and(unit::is_per_cent)
                && column.unit.is_none()
                && all_below_one(column, rows, sense);
        }
        senses.push(sense);
    }
    let names = |doubts: &[InDoubt]| doubts.iter().map(|doubt| doubt.heading.clone()).collect();
    let mut questions = Vec::new();
    if let Some(first) = days.first() {
        questions.push(Question::DateOrder {
            headings: names(&days),
            row: first.row,
            example: first.example.clone(),
            before: None,
        });
    }
    if let Some(first) = numbers.first() {
        questions.push(Question::DecimalMark {
            headings: names(&numbers),
            row: first.row,
            example: first.example.clone(),
            before: None,
        });
    }
    (senses, questions, errors)
}

/// The one order of day and month that everything in a list shows; for a list that has some of its rows only.
pub(super) fn shown_order(
    headings: &Headings,
    rows: &[TableRow],
    answers: &Answers,
) -> Option<DateOrder> {
    let (senses, ..) = look_through(headings, rows, answers);
    let mut orders = senses.iter().filter_map(|sense| sense.shown_dates);
    let first = orders.next()?;
    orders.all(|other| other == first).then_some(first)
}

fn texts<'a>(column: &Column, rows: &'a [TableRow]) -> impl Iterator<Item = (u32, &'a str)> {
    let index = column.index;
    rows.iter().filter_map(move |row| match row.cell(index) {
        Some(Cell::Text(text)) => Some((row.number, text.as_str())),
        _ => None,
    })
}

fn look_at_days(
    column: &Column,
    rows: &[TableRow],
    sense: &mut Sense,
    errors: &mut Vec<RowError>,
) -> Option<InDoubt> {
    let mut proof: Option<(DateOrder, u32, &str)> = None;
    for (row, text) in texts(column, rows) {
        let Some(order) = day::read(text).and_then(day::Written::proves) else {
            continue;
        };
        match proof {
            None => proof = Some((order, row, text)),
            Some((first, first_row, first_text))
                if first != order && sense.said_dates.is_none() =>
            {
                errors.push(RowError::at(row, column, "date", format!(
                    "\"{text}\" has the {}, but \"{first_text}\" in row {first_row} has the {}. Write one column in one order.",
                    order_words(order), order_words(first)
                )));
                return None;
            }
            Some(_) => {}
        }
    }
    sense.shown_dates = proof.map(|(order, ..)| order);
    let in_doubt = texts(column, rows).find(|(_, text)| {
        day::read(text).is_some_and(|written| {
            written.day(sense.said_dates, sense.shown_dates) == Err(day::Doubt::Ask)
        })
    });
    in_doubt.map(|(row, text)| InDoubt {
        heading: column.heading.clone(),
        row,
        example: shortened(text),
    })
}

fn order_words(order: DateOrder) -> &'static str {
    match order {
        DateOrder::DayFirst => "day first",
        DateOrder::MonthFirst => "month first",
    }
}

/// The numbers as texts, each with its row.
fn numbers<'a>(column: &Column, rows: &'a [TableRow]) -> impl Iterator<Item = (u32, &'a str)> {
    let field = column.field();
    texts(column, rows).flat_map(move |(row, text)| {
        let numbers = field.map_or_else(Vec::new, |field| rope_range::numbers_of(field, text));
        numbers.into_iter().map(move |number| (row, number))
    })
}

/// The decimal marks of the numbers of a column that can be read in one way only, each once.
fn marks_shown(column: &Column, rows: &[TableRow]) -> Vec<DecimalMark> {
    let mut shown = Vec::new();
    for (_, text) in numbers(column, rows) {
        if let Some((number::Written::Certain(mark, _), _)) = number::split(text)
            && !shown.contains(&mark)
        {
            shown.push(mark);
        }
    }
    shown
}

fn look_at_numbers(column: &Column, rows: &[TableRow], sense: &mut Sense) -> Option<InDoubt> {
    let shown = marks_shown(column, rows);
    if let [mark] = shown.as_slice() {
        sense.shown_decimal = Some(*mark);
    }
    let in_doubt = numbers(column, rows).find(|(_, text)| {
        number::split(text)
            .is_some_and(|(written, _)| sense.value(written) == Err(number::Doubt::Ask))
    });
    in_doubt.map(|(row, text)| InDoubt {
        heading: column.heading.clone(),
        row,
        example: shortened(text),
    })
}

/// Whether all numbers that stand without a sign of per cent are below 1, and not all of them are 0.
fn all_below_one(column: &Column, rows: &[TableRow], sense: Sense) -> bool {
    let cells = rows.iter().filter_map(|row| row.cell(column.index));
    let values = cells.filter_map(|cell| match cell {
        Cell::Number(number) => Some(*number),
        Cell::Text(text) => match number::split(text) {
            Some((written, "")) => sense.value(written).ok(),
            _ => None,
        },
        _ => None,
    });
    let values: Vec<f64> = values.collect();
    values.iter().all(|value| *value < 1.0) && values.iter().any(|value| *value > 0.0)
}
